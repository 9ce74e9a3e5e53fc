import type { BalanceLimits } from '../../../core/formula/types.ts';
import type { LastCheck } from '../../../core/pour/events.ts';
import { Decimal, decimal, plain } from '../../../core/quantity/decimal.ts';
import type { Place } from '../benches.ts';
import { when } from '../documents/record-figures.ts';
import { limitsFor, shownStep } from '../limits.ts';
import type { CareStore, KeptCheck } from '../store/care.ts';
import type { BalanceProfile } from '../table-care.ts';
import { type CheckBody, readCheck } from './kept.ts';
import { type Identity, identityOf, readProfile } from './profile.ts';

/** What the care of a balance needs of its bench. */
export interface CareRooms extends Pick<Place, 'bench' | 'balances'> {
  readonly store: { readonly care: CareStore };
}

/** The balance on a bench, with what is known of it. */
export interface Known {
  readonly identity: Identity;
  readonly profile: BalanceProfile;
  readonly name: string;
  readonly limits: BalanceLimits;
  /** The repeatability run that counts; null while there is none for this readability. */
  readonly measured: {
    readonly s: string;
    readonly u: string;
    readonly n: number;
    readonly at: string;
  } | null;
}

/** The latest repeatability run at this readability; one at another was of another balance, or another range. */
function measuredOf(care: CareStore, id: string, d: string): Known['measured'] {
  for (const kept of care.checks(id, 'repeatability')) {
    const { result, balance } = readCheck(kept);
    if (result?.s !== undefined && decimal(balance.d).eq(d))
      return { s: result.s.g, u: result.s.u, n: result.s.n, at: kept.at };
  }
  return null;
}

/** What is known of the balance on this bench. */
export function knownOf({ bench, balances, store }: CareRooms): Known {
  const identity = identityOf(balances.chosen());
  const profile = readProfile(store.care.profile(identity.id));
  const { reading } = bench.live;
  const { d, c, capacity } = profile;
  const bare = limitsFor(reading, { d, c, capacity, s: null });
  const measured = measuredOf(store.care, identity.id, bare.d);
  return {
    identity,
    profile,
    name: profile.name === '' ? (bench.balance?.what ?? 'no balance yet') : profile.name,
    limits: measured === null ? bare : limitsFor(reading, { d, c, capacity, s: measured.s }),
    measured,
  };
}

const HOUR_MS = 3_600_000;

const WORD = { pass: 'passed', doubtful: 'doubtful', fail: 'failed' } as const;

/** The last daily check that came to an end, and its place among those kept. */
function lastDaily(
  checks: readonly KeptCheck[],
): { kept: KeptCheck; result: NonNullable<CheckBody['result']> } | null {
  for (const kept of checks) {
    const { result } = readCheck(kept);
    if (result !== null) return { kept, result };
  }
  return null;
}

/** How the balance stood when it was last checked with a check weight, told at `now`, ms. */
export function lastCheckOf({ store }: CareRooms, known: Known, now: number): LastCheck {
  const last = lastDaily(store.care.checks(known.identity.id, 'daily'));
  if (last === null)
    return {
      at: null,
      verdict: 'none',
      overdue: true,
      text: 'This balance was never checked with a check weight.',
    };
  const { kept, result } = last;
  const overdue = now - Date.parse(kept.at) > known.profile.dueHours * HOUR_MS;
  const due = overdue ? ` The next was due ${known.profile.dueHours} h later.` : '';
  return {
    at: kept.at,
    verdict: result.verdict,
    overdue,
    text: `Daily check ${WORD[result.verdict]}, ${when(kept.at)}: ${result.text}${due}`,
  };
}

/** The balance of a bench as the record of a batch names it. */
export function factsOf(rooms: CareRooms, now: number): { name: string; serial?: string; check: LastCheck } {
  const known = knownOf(rooms);
  const { serial } = known.profile;
  return { name: known.name, ...(serial === '' ? {} : { serial }), check: lastCheckOf(rooms, known, now) };
}

/** Where each limit of a balance comes from, in words. */
export function originsOf(rooms: CareRooms, known: Known): Record<'d' | 's' | 'c' | 'capacity', string> {
  const { profile, measured, limits } = known;
  const floor = decimal(limits.d).times('0.41');
  const shown = shownStep(rooms.bench.live.reading);
  return {
    d:
      profile.d === null
        ? shown === null
          ? 'taken until a figure is shown'
          : 'as the figure shows it'
        : 'as entered',
    s:
      measured === null
        ? 'the floor 0.41 d: no repeatability run yet'
        : `latest repeatability run, ${when(measured.at)}: s = ${plain(new Decimal(measured.s).toSignificantDigits(2))} g from n = ${measured.n}, standard uncertainty ${plain(new Decimal(measured.u).toSignificantDigits(2))} g${floor.gt(measured.s) ? '; its floor 0.41 d is higher and counts' : ''}`,
    c: profile.c === null ? 'common practice, no source' : 'as entered',
    capacity: profile.capacity === null ? 'common practice, no source' : 'as entered',
  };
}
