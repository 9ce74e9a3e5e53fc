import { Decimal, decimal, fixed, isDecimalText, plain } from '../quantity/decimal.ts';
import { type Deed, PracticeRefusal } from './deeds.ts';
import type { ExerciseStep, ExerciseTask, Wanted } from './lesson.ts';

/** How an exercise stands: the fold of its deeds. */
export interface ExerciseState {
  readonly task: ExerciseTask;
  /** Place of the present step; the count of steps once all are done. */
  readonly place: number;
  /** The display when the last step was done, g; null before the first. */
  readonly shown: string | null;
  readonly reads: Readonly<Record<string, string>>;
  readonly counts: Readonly<Record<string, number>>;
}

/** What the learner asks, with the display at that moment: its figure in g, and whether it is at rest. */
export interface ExerciseAsk {
  readonly do: 'done' | 'read' | 'answer';
  readonly value?: string;
  readonly at: number;
  readonly g: string | null;
}

/** Something stands on the pan from here on, g. */
const STANDS = new Decimal(2);
/** Less than this share of what is to be poured is nothing poured: how much exactly is the learner's. */
const COME_IN = new Decimal('0.25');
/** A mass in g and one in mg may be off by this much and still be right: half a figure of rounding by hand. */
const TOLERATED = { g: new Decimal('0.005'), mg: new Decimal('0.6'), '': new Decimal(0) } as const;

export const exerciseBegun = (task: ExerciseTask): ExerciseState => ({
  task,
  place: 0,
  shown: null,
  reads: {},
  counts: {},
});

/** The present step; null once all are done. */
export const stepNow = ({ task, place }: ExerciseState): ExerciseStep | null => task.steps[place] ?? null;

export function evolveExercise(state: ExerciseState, deed: Deed): ExerciseState {
  const place = state.place + 1;
  switch (deed.type) {
    case 'stepped':
      return { ...state, place, shown: deed.g };
    case 'answered':
      return { ...state, place };
    case 'read':
      return { ...state, place, shown: deed.g, reads: { ...state.reads, [deed.step]: deed.g } };
    case 'counted':
      return { ...state, place, counts: { ...state.counts, [deed.step]: deed.drops } };
    default:
      return state;
  }
}

function readOf(state: ExerciseState, step: string): Decimal {
  const g = state.reads[step];
  if (g === undefined) throw new RangeError(`the exercise asks for a figure "${step}" that was never read`);
  return decimal(g);
}

/** What an answer must come to by what was read: a figure in g or mg, or "inside" and "outside". */
export function wantedOf(state: ExerciseState, wanted: Wanted): string {
  switch (wanted.from) {
    case 'difference':
      return plain(readOf(state, wanted.of).minus(readOf(state, wanted.less)));
    case 'drop': {
      const count = state.counts[wanted.count] ?? 0;
      const rise = readOf(state, wanted.of).minus(readOf(state, wanted.less));
      return fixed(rise.times(1000).div(Math.max(1, count)), 1);
    }
    case 'sum': {
      const first = readOf(state, wanted.of).minus(readOf(state, wanted.less));
      return plain(first.plus(readOf(state, wanted.and)));
    }
    case 'limit': {
      const off = readOf(state, wanted.of).minus(decimal(wanted.nominal)).abs();
      return off.lte(decimal(wanted.limit)) ? 'inside' : 'outside';
    }
  }
}

const comma = (text: string): string => text.trim().replace(',', '.');

function answered(
  state: ExerciseState,
  step: Extract<ExerciseStep, { do: 'answer' }>,
  ask: ExerciseAsk,
): Deed {
  const wanted = wantedOf(state, step.wanted);
  const given = comma(ask.value ?? '');
  if (step.wanted.from === 'limit') {
    if (given !== 'inside' && given !== 'outside')
      throw new PracticeRefusal('This is no verdict.', 'Choose inside or outside.');
    return { type: 'answered', at: ask.at, step: step.id, given, wanted, right: given === wanted };
  }
  if (!isDecimalText(given))
    throw new PracticeRefusal(`"${ask.value ?? ''}" is no figure.`, 'Type a number, as in 0.52.');
  const right = decimal(given).minus(decimal(wanted)).abs().lte(TOLERATED[step.unit]);
  return { type: 'answered', at: ask.at, step: step.id, given, wanted, right };
}

function counted(step: string, ask: ExerciseAsk): Deed {
  const text = (ask.value ?? '').trim();
  const drops = /^\d{1,3}$/.test(text) ? Number(text) : 0;
  if (drops < 1)
    throw new PracticeRefusal(`"${text}" is no count of drops.`, 'Type how many drops fell, as in 10.');
  return { type: 'counted', at: ask.at, step, drops };
}

/** What must be on the pan for a step to be done. @throws PracticeRefusal */
function expectPan(step: ExerciseStep, g: string | null, shown: string | null): void {
  if (step.do === 'look' || step.do === 'count' || step.do === 'answer') return;
  if (g === null)
    throw new PracticeRefusal('The balance shows no figure.', 'See that it is on and connected, then go on.');
  const stands = decimal(g).gte(STANDS);
  if (step.do === 'put' && !stands)
    throw new PracticeRefusal('Nothing stands on the pan.', `Put the ${step.what} in the middle of the pan.`);
  if ((step.do === 'off' || step.do === 'zero') && stands)
    throw new PracticeRefusal('Something stands on the pan.', 'Take it off, then go on.');
  if (
    step.do === 'add' &&
    decimal(g)
      .minus(decimal(shown ?? '0'))
      .lt(decimal(step.g).times(COME_IN))
  )
    throw new PracticeRefusal('The display has not gone up yet.', step.says);
}

/**
 * The deed of an ask at the present step. A figure may be read while it moves, and a pan may be left off zero: these
 * are the learner's to notice, and the score tells them.
 * @throws PracticeRefusal where the ask does not fit the step
 */
export function decideExercise(state: ExerciseState, ask: ExerciseAsk): Deed {
  const step = stepNow(state);
  if (step === null) throw new PracticeRefusal('Every step is done.', 'End the lesson.');
  expectPan(step, ask.g, state.shown);
  if (step.do === 'read') {
    if (ask.do !== 'read' || ask.g === null)
      throw new PracticeRefusal('A figure is wanted here.', 'Press Read once it stands.');
    return { type: 'read', at: ask.at, step: step.id, g: ask.g };
  }
  if (step.do === 'count') return counted(step.id, ask);
  if (step.do === 'answer') return answered(state, step, ask);
  if (ask.do !== 'done') throw new PracticeRefusal('No figure is wanted here.', step.says);
  return { type: 'stepped', at: ask.at, step: step.id, g: ask.g };
}
