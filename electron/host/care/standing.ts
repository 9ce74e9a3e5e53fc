import type { BalanceLimits } from '../../../core/formula/types.ts';
import type { LastCheck } from '../../../core/pour/events.ts';
import { Decimal, decimal, plain } from '../../../core/quantity/decimal.ts';
import type { Place } from '../benches.ts';
import { when } from '../documents/record-figures.ts';
import { limitsFor, shownStep } from '../limits.ts';
import type { CareStore, KeptCheck } from '../store/care.ts';
import type { BalanceProfile } from '../table-care.ts';
import { type CheckBody, readCheck, unreadText } from './kept.ts';
import { type Identity, identityOf, readProfile } from './profile.ts';

/** What the care of a balance needs of its bench. */
export interface CareRooms extends Pick<Place, 'bench' | 'balances'> {
  readonly store: { readonly care: CareStore };
}

/** What is asked about the limits of a balance: a bench, or what is remembered of one that is not open. */
export interface LimitsPlace {
  readonly bench: {
    readonly live: Pick<CareRooms['bench']['live'], 'reading'>;
    readonly balance: { readonly what: string } | null;
  };
  readonly balances: Pick<CareRooms['balances'], 'chosen'>;
  readonly store: { readonly care: Pick<CareStore, 'profile' | 'checks'> };
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
  /** Repeatability runs that cannot be read, in words; empty when all can. */
  readonly unread: string;
}

/** The latest repeatability run at this readability; one at another was of another balance, or another range. */
function measuredOf(
  care: LimitsPlace['store']['care'],
  id: string,
  d: string,
): Pick<Known, 'measured' | 'unread'> {
  const passed: string[] = [];
  for (const kept of care.checks(id, 'repeatability')) {
    const body = readCheck(kept);
    if (body === null) passed.push(unreadText(kept));
    else if (body.result?.s !== undefined && decimal(body.balance.d).eq(d)) {
      const { g, u, n } = body.result.s;
      return { measured: { s: g, u, n, at: kept.at }, unread: passed.join(' ') };
    }
  }
  return { measured: null, unread: passed.join(' ') };
}

/** What is known of the balance on this bench. */
export function knownOf({ bench, balances, store }: LimitsPlace): Known {
  const identity = identityOf(balances.chosen());
  const profile = readProfile(store.care.profile(identity.id));
  const { reading } = bench.live;
  const { d, c, capacity } = profile;
  const bare = limitsFor(reading, { d, c, capacity, s: null });
  const { measured, unread } = measuredOf(store.care, identity.id, bare.d);
  return {
    identity,
    profile,
    name: profile.name === '' ? (bench.balance?.what ?? 'no balance yet') : profile.name,
    limits: measured === null ? bare : limitsFor(reading, { d, c, capacity, s: measured.s }),
    measured,
    unread,
  };
}

const HOUR_MS = 3_600_000;

const WORD = { pass: 'passed', doubtful: 'doubtful', fail: 'failed' } as const;

interface LastDaily {
  readonly last: { readonly kept: KeptCheck; readonly result: NonNullable<CheckBody['result']> } | null;
  /** What is said of later ones that cannot be read. */
  readonly unread: string;
}

/** The last daily check that came to an end. */
function lastDaily(checks: readonly KeptCheck[]): LastDaily {
  const passed: string[] = [];
  for (const kept of checks) {
    const body = readCheck(kept);
    if (body === null) passed.push(` ${unreadText(kept)}`);
    else if (body.result !== null) return { last: { kept, result: body.result }, unread: passed.join('') };
  }
  return { last: null, unread: passed.join('') };
}

/**
 * How the balance stood when it was last checked with a check weight, told at `now`, ms. Where a later check cannot be
 * read, nobody knows how it stands: the next is due at once.
 */
export function lastCheckOf({ store }: CareRooms, known: Known, now: number): LastCheck {
  const { last, unread } = lastDaily(store.care.checks(known.identity.id, 'daily'));
  if (last === null)
    return {
      at: null,
      verdict: 'none',
      overdue: true,
      text: unread === '' ? 'This balance was never checked with a check weight.' : unread.trim(),
    };
  const { kept, result } = last;
  const overdue = now - Date.parse(kept.at) > known.profile.dueHours * HOUR_MS;
  const due = overdue ? ` The next was due ${known.profile.dueHours} h later.` : '';
  return {
    at: kept.at,
    verdict: result.verdict,
    overdue: overdue || unread !== '',
    text: `Daily check ${WORD[result.verdict]}, ${when(kept.at)}: ${result.text}${due}${unread}`,
  };
}

/** The balance of a bench as the record of a batch names it. */
export function factsOf(rooms: CareRooms, now: number): { name: string; serial?: string; check: LastCheck } {
  const known = knownOf(rooms);
  const { serial } = known.profile;
  return { name: known.name, ...(serial === '' ? {} : { serial }), check: lastCheckOf(rooms, known, now) };
}

/** Where each limit of a balance comes from, in words. */
export function originsOf(rooms: LimitsPlace, known: Known): Record<'d' | 's' | 'c' | 'capacity', string> {
  const { profile, measured, limits, unread } = known;
  const floor = decimal(limits.d).times('0.41');
  const shown = shownStep(rooms.bench.live.reading);
  return {
    d:
      profile.d === null
        ? shown === null
          ? 'taken until a figure is shown'
          : 'as the figure shows it'
        : 'as entered',
    s: `${
      measured === null
        ? `the floor 0.41 d: no repeatability run ${unread === '' ? 'yet' : 'that can be read'}`
        : `latest repeatability run, ${when(measured.at)}: s = ${plain(new Decimal(measured.s).toSignificantDigits(2))} g from n = ${measured.n}, standard uncertainty ${plain(new Decimal(measured.u).toSignificantDigits(2))} g${floor.gt(measured.s) ? '; its floor 0.41 d is higher and counts' : ''}`
    }${unread === '' ? '' : `. ${unread}`}`,
    c: profile.c === null ? 'common practice, no source' : 'as entered',
    capacity: profile.capacity === null ? 'common practice, no source' : 'as entered',
  };
}
