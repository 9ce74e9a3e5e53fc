import { allowedFor, weightLimit } from '../../../core/weighing/check-rules.ts';
import { shownStep } from '../limits.ts';
import type { Rooms } from '../rooms.ts';
import type { Input, Output } from '../table.ts';
import type { BalanceProfile } from '../table-care.ts';
import { HostTrouble, sentence } from '../trouble.ts';
import { checkHandlers } from './checking.ts';
import { careDocumentHandlers } from './papers.ts';
import { identityOf } from './profile.ts';
import { type Known, knownOf, lastCheckOf, originsOf } from './standing.ts';

function remindersOf({ profile }: Known): string[] {
  const warm =
    profile.warmUpMinutes === 0 ? [] : [`Warm: switched on for ${profile.warmUpMinutes} minutes or more.`];
  return [
    'Flat: on a firm table. In the hand it does not read.',
    'Level: the bubble in its ring, every foot on the table.',
    ...warm,
    'Still air: no fan, no open window, no breath on the pan.',
  ];
}

/** The balance on the bench, as the window shows it. */
export function careView(rooms: Rooms): Output<'care.view'> {
  const known = knownOf(rooms);
  return {
    id: known.identity.id,
    knownBy: known.identity.text,
    name: known.name,
    profile: known.profile,
    limits: { ...known.limits },
    from: originsOf(rooms, known),
    check: lastCheckOf(rooms, known, Date.now()),
    reminders: remindersOf(known),
    simulatedWrong: known.identity.id === 'simulated' && rooms.balances.pipette().adjustedWrongly,
  };
}

const refuse = (what: string, field: string, next: string): never => {
  throw new HostTrouble(what, field, next);
};

/** A calibration share of so much is a slip: a percentage, or grams. */
const MOST_C = 0.1;

/** A check weight must be one of the table, or the daily check could not be begun. @throws HostTrouble */
function expectWeight(weight: NonNullable<BalanceProfile['weight']>): void {
  try {
    weightLimit(weight);
  } catch (cause) {
    if (!(cause instanceof RangeError)) throw cause;
    refuse(
      sentence(cause.message),
      'weight',
      'Name weights of 1, 2 or 5, as 100 or 100 + 50, and the class on their box.',
    );
  }
}

/** What is entered must fit what the balance shows and what the tables know. @throws HostTrouble */
function expectProfile(rooms: Rooms, profile: BalanceProfile): void {
  if (identityOf(rooms.balances.chosen()).id === 'none')
    refuse('No balance is chosen.', 'Balance', 'Choose one on the Balance screen first.');
  const shown = shownStep(rooms.bench.live.reading);
  if (profile.d !== null && shown?.gt(profile.d))
    refuse(
      `The display shows steps of ${shown.toFixed()} g: d cannot be ${profile.d} g.`,
      'd',
      'Enter the step of the display, or leave it empty.',
    );
  const { d, e } = profile;
  if (d !== null && e !== null && Number(e) < Number(d))
    refuse(
      `e = ${e} g is finer than d = ${d} g.`,
      'e',
      'Read both from the plate: e is d or up to ten times it.',
    );
  const { c, weight } = profile;
  if (c !== null && Number(c) >= MOST_C)
    refuse(`c = ${c} would be an error of a tenth or more.`, 'c', 'Enter it as a share: 0.0001 is 0.01 %.');
  if (weight !== null) expectWeight(weight);
  const capacity = profile.capacity ?? '200';
  if (Number(capacity) <= Number(d ?? '0.01'))
    refuse(
      `A capacity of ${capacity} g is no more than one step.`,
      'capacity',
      'Enter what the plate calls Max.',
    );
  const allowed = allowedFor({ d: d ?? '0.01', capacity, e, balanceClass: profile.balanceClass });
  const most = { I: Number.POSITIVE_INFINITY, II: 100_000, III: 10_000, IIII: 1000 }[allowed.balanceClass];
  if (Number(capacity) / Number(allowed.e) > most)
    refuse(
      `Class ${allowed.balanceClass} has at most ${most} steps of e; ${capacity} g in steps of ${allowed.e} g has more.`,
      'class',
      'Read e and the class from the plate, or leave them empty.',
    );
}

function profileHandlers(rooms: Rooms) {
  return {
    'care.view': () => careView(rooms),
    'care.keep': (profile: Input<'care.keep'>) => {
      expectProfile(rooms, profile);
      rooms.store.care.keepProfile(identityOf(rooms.balances.chosen()).id, JSON.stringify(profile));
      return careView(rooms);
    },
  };
}

/** Answers the calls about the care of a balance: profile, checks, history. */
export function careHandlers(rooms: Rooms) {
  return {
    ...profileHandlers(rooms),
    ...checkHandlers(rooms),
    ...careDocumentHandlers(rooms),
    'care.wrong': ({ on }: Input<'care.wrong'>) => {
      rooms.balances.pipette().adjustWrongly(on);
      return careView(rooms);
    },
  };
}
