import { choicesOf } from '../pour/choices.ts';
import { lineOf, netTotal, type PourState } from '../pour/state.ts';
import { pourWindow } from '../pour/window.ts';
import { type Evidence, secondsIn, type TracePoint, type Walked, walk } from './evidence.ts';
import { between, type Finding, type Moment, many, meanMark, type Rule } from './rule.ts';

/** One pour as it was finally read, with its window when it was first captured. Masses in g, times in ms. */
interface Poured {
  readonly pour: number;
  readonly line: string;
  readonly title: string;
  readonly begun: number;
  readonly at: number;
  readonly before: number;
  readonly net: number;
  readonly low: number;
  readonly high: number;
  readonly drop: number;
}

/** The line that goes over on purpose. */
const slipped = ({ lesson }: Evidence, line: string): boolean =>
  lesson?.task.engine === 'pour' && lesson.task.slip?.line === line;

/** Every pour, each with its last value; those that are void do not count. */
function poursOf(evidence: Evidence): Poured[] {
  const found = new Map<number, Poured>();
  let begun = evidence.began;
  for (const { at, event, before } of walk(evidence)) {
    if (event.type === 'pour-begun') begun = at;
    else if (event.type === 'captured') {
      const line = lineOf(before, event.line);
      if (line.step.unplanned === true) continue;
      const { low, high } = pourWindow(before, line);
      found.set(event.pour, {
        pour: event.pour,
        line: event.line,
        title: line.step.title,
        begun,
        at,
        before: Number(event.before),
        net: Number(event.net),
        low: low.toNumber(),
        high: high.toNumber(),
        drop: Number(line.step.drop),
      });
    } else if (event.type === 'revised') {
      const was = found.get(event.pour);
      if (was !== undefined) found.set(event.pour, { ...was, net: Number(event.net) });
    } else if (event.type === 'voided') found.delete(event.pour);
  }
  return [...found.values()];
}

/** Lines of a lesson that no pour counts for once it is closed; a batch of the workshop leaves one out with a reason. */
function neverPoured(evidence: Evidence, pours: readonly Poured[]): Moment[] {
  const closed = walk(evidence).findLast(({ event }) => event.type === 'closed');
  if (evidence.lesson === null || closed === undefined) return [];
  return closed.before.lines
    .filter((line) => line.step.unplanned !== true && !pours.some((one) => one.line === line.step.line))
    .map((line) => ({ at: closed.at, says: `${line.step.title} was never poured` }));
}

/** What a dilution came to, where one line is poured and another fills it up; nothing for any other batch. */
function shareTold(evidence: Evidence): string {
  const closed = walk(evidence).findLast(({ event }) => event.type === 'closed')?.before;
  const [first, fill, ...more] = closed?.lines ?? [];
  if (closed === undefined || first === undefined || fill?.step.qs !== true || more.length > 0) return '';
  const total = netTotal(closed);
  if (total.lte(0)) return '';
  const share = first.poured.div(total).times(100).toFixed(1);
  return ` ${first.step.title} is ${share} % of what is in the vessel.`;
}

const HAIR = 1e-9;

/** 1 inside; 0.7 for less than a drop past, 0 from four drops on. */
const overMark = (drops: number): number =>
  drops <= 0 ? 1 : drops <= 1 ? 0.7 - 0.2 * drops : 0.5 * (1 - between(drops, 1, 4));

function overshoot(evidence: Evidence): Finding | null {
  const all = poursOf(evidence);
  const pours = all.filter((one) => !slipped(evidence, one.line));
  const missing = neverPoured(evidence, all);
  const of = pours.length + missing.length;
  if (of === 0) return null;
  const moments: Moment[] = [];
  const marks = pours.map(({ at, title, net, low, high, drop }) => {
    const drops = (net - high) / drop;
    if (net > high + HAIR) {
      const g = (net - high).toFixed(2);
      moments.push({ at, says: `${title} ended ${g} g past its window, ${drops.toFixed(1)} drops` });
      return overMark(drops);
    }
    if (net < low - HAIR) {
      moments.push({ at, says: `${title} was left ${(low - net).toFixed(2)} g short of its window` });
      return 0.5;
    }
    return 1;
  });
  const outside = moments.length + missing.length;
  const inside =
    outside === 0
      ? `${of === 1 ? 'The pour' : `All ${of} pours`} ended inside the window.`
      : `${many(of - outside, 'pour')} of ${of} ended inside the window.`;
  return {
    mark: meanMark([...marks, ...missing.map(() => 0)]),
    says: `${inside}${shareTold(evidence)}`,
    moments: [...moments, ...missing],
  };
}

/** The last four drops are given over at least so long; in less than the other they were streamed. ms */
const SLOW_END_MS = 2200;
const STREAMED_MS = 500;
const LAST_DROPS = 4;

/** How long the last four drops took, as the trace shows it, ms; null where it does not show. */
function endedOver(trace: readonly TracePoint[], { begun, at, before, net, drop }: Poured): number | null {
  const part = trace.filter((one) => one.at >= begun && one.at <= at);
  if (part.length < 5) return null;
  const end = before + net;
  const from = part.findLast((one) => Number(one.g) < end - LAST_DROPS * drop);
  const to = part.find((one) => one.at > (from?.at ?? begun) && Number(one.g) >= end - 0.5 * drop);
  return from === undefined || to === undefined ? null : to.at - from.at;
}

/** A drop each so many ms is one at a time; within less than the other they run together. */
const ONE_BY_ONE_MS = 600;
const TOGETHER_MS = 200;

/** Drops of an exercise that are to be counted: how they came, as the trace shows it. */
function countedOut(evidence: Evidence): Finding | null {
  const task = evidence.lesson?.task;
  const step = task?.engine === 'exercise' ? task.steps.find((one) => 'drops' in one) : undefined;
  const i = evidence.deeds.findIndex((deed) => deed.type === 'stepped' && deed.step === step?.id);
  const from = evidence.deeds[i - 1]?.at;
  const to = evidence.deeds[i]?.at;
  const count = evidence.deeds.find((deed) => deed.type === 'counted')?.drops ?? 0;
  if (from === undefined || to === undefined || count < 3) return null;
  const part = evidence.trace.filter((one) => one.at >= from && one.at <= to + 1000);
  const [low, high] = [Number(part[0]?.g ?? '0'), Number(part.at(-1)?.g ?? '0')];
  const share = (part: number): number => low + (high - low) * part;
  const first = part.find((one) => Number(one.g) > share(0.15));
  const last = part.find((one) => Number(one.g) > share(0.85));
  if (first === undefined || last === undefined) return null;
  const each = (last.at - first.at) / (0.7 * count);
  const mark = between(each, TOGETHER_MS, ONE_BY_ONE_MS);
  return {
    mark,
    says:
      mark === 1
        ? `The drops came one by one, ${(each / 1000).toFixed(1)} s apart.`
        : `The drops ran together, ${(each / 1000).toFixed(1)} s apart.`,
    moments: mark === 1 ? [] : [{ at: first.at, says: 'drops fell faster than they can be counted here' }],
  };
}

function touchOff(evidence: Evidence): Finding | null {
  if (evidence.typed || evidence.trace.length === 0) return null;
  if (evidence.lesson?.task.engine === 'exercise') return countedOut(evidence);
  const moments: Moment[] = [];
  const marks = poursOf(evidence).flatMap((pour) => {
    if (slipped(evidence, pour.line) || pour.net < (LAST_DROPS + 2) * pour.drop) return [];
    const ms = endedOver(evidence.trace, pour);
    if (ms === null) return [];
    const mark = between(ms, STREAMED_MS, SLOW_END_MS);
    if (mark < 1)
      moments.push({
        at: pour.at - Math.min(1000, pour.at - pour.begun),
        says: `the last four drops of ${pour.title} came within ${(ms / 1000).toFixed(1)} s`,
      });
    return [mark];
  });
  if (marks.length === 0) return null;
  return {
    mark: meanMark(marks),
    says:
      moments.length === 0
        ? 'The last drops were given one by one.'
        : `${many(moments.length, 'pour')} of ${marks.length} ran to the end without slowing down.`,
    moments,
  };
}

const MARK_OF_CHOICE: Readonly<Record<string, number>> = {
  least: 1,
  'bottle-least': 1,
  exact: 0.8,
  'bottle-exact': 0.8,
  'withdraw-exact': 0.7,
  'withdraw-least': 0.8,
  'withdraw-unmixed': 1,
  again: 0.3,
};

/** How sensible a choice was: least material for a batch inside its windows; keeping is for what is hardly past. */
function choiceMark(state: PourState, choice: string): number {
  const choices = choicesOf(state);
  if (choice === 'keep') {
    const over = state.lines.find((line) => line.poured.gt(line.target.plus(line.half)));
    if (over === undefined) return 0.5;
    const past = over.poured.minus(over.target).minus(over.half);
    return past.lte(over.half) ? 0.6 : 0.2;
  }
  if (choices.withdrawUnmixed !== null && choice !== 'withdraw-unmixed')
    return 0.9 * (MARK_OF_CHOICE[choice] ?? 0.5);
  return MARK_OF_CHOICE[choice] ?? 0.5;
}

function chosenBy({ event }: Walked): string | null {
  if (event.type === 'correction-chosen')
    return event.bottle === undefined ? event.choice : `bottle-${event.choice}`;
  if (event.type === 'withdrawal-begun')
    return event.from === 'unmixed' ? 'withdraw-unmixed' : `withdraw-${event.kind}`;
  return event.type === 'abandoned' && event.followedBy !== undefined ? 'again' : null;
}

const CHOICE_WORDS: Readonly<Record<string, string>> = {
  least: 'the least correction',
  'bottle-least': 'the least correction, from another bottle',
  exact: 'the exact correction',
  'bottle-exact': 'the exact correction, from another bottle',
  'withdraw-unmixed': 'taking the excess out while it stood alone',
  'withdraw-least': 'taking a part of everything out',
  'withdraw-exact': 'taking a part of everything out',
  keep: 'keeping it as it was',
  again: 'throwing it away and starting again',
};

/** In a lesson where too much is to fall, on a real balance it is the hand that lets it: without that nothing was learnt. */
function nothingFell({ lesson, deeds, events }: Evidence): Finding | null {
  const asked = lesson?.task.engine === 'pour' && lesson.task.slip !== undefined;
  const fell = deeds.some((deed) => deed.type === 'slipped');
  const closed = events.find(({ event }) => event.type === 'closed');
  if (!asked || fell || closed === undefined) return null;
  return {
    mark: 0,
    says: 'Nothing went over, so there was nothing to put right.',
    moments: [{ at: closed.at, says: 'closed here, without the drops too many that the lesson asks for' }],
    tryNext: 'Do it again, and let the drops too many fall on purpose; then choose without haste.',
  };
}

function corrected(evidence: Evidence): Finding | null {
  const chosen = walk(evidence).flatMap((one) => {
    const choice = chosenBy(one);
    return choice === null || one.before.phase !== 'over' ? [] : [{ at: one.at, choice, state: one.before }];
  });
  if (chosen.length === 0) return nothingFell(evidence);
  const marks = chosen.map(({ choice, state }) => choiceMark(state, choice));
  const moments = chosen.flatMap(({ at, choice }, i): Moment[] =>
    (marks[i] ?? 1) >= 0.8 ? [] : [{ at, says: `you chose ${CHOICE_WORDS[choice] ?? choice} here` }],
  );
  const [first] = chosen;
  return {
    mark: meanMark(marks),
    says:
      moments.length === 0
        ? `What was over was put right by ${CHOICE_WORDS[first?.choice ?? ''] ?? 'a correction'}.`
        : 'Another of the choices would have cost less, or ended inside the window.',
    moments,
  };
}

/** At twice the time, and from there on. */
const LATE_MARK = 0.4;

function calm(evidence: Evidence): Finding | null {
  const { lesson } = evidence;
  if (lesson?.timed !== true) return null;
  const took = secondsIn(evidence, evidence.ended) / 60;
  const limit = lesson.minutes;
  const late = between(took, limit, 2 * limit);
  return {
    mark: 1 - late * (1 - LATE_MARK),
    says:
      late === 0
        ? `It took ${took.toFixed(1)} minutes of the ${limit} there were.`
        : `It took ${took.toFixed(1)} minutes; ${limit} were meant.`,
    moments: [],
  };
}

export const POURING_RULES: readonly Rule[] = [
  {
    id: 'overshoot',
    skill: 'pouring',
    title: 'Ended inside the window',
    sentence: 'Every line is poured and ends inside its window; what is past it is counted in drops.',
    tryNext: 'Stop when about four drops remain, wait until the figure stands, then give the exact count.',
    weight: 3,
    judge: overshoot,
  },
  {
    id: 'touch-off',
    skill: 'pouring',
    title: 'Drop by drop',
    sentence:
      'The last four drops are given one by one, with a pause before them; so is every drop that is to be counted.',
    tryNext: 'Let the pipette go before the last four drops; then one drop for each breath.',
    weight: 2,
    judge: touchOff,
  },
  {
    id: 'calm',
    skill: 'pouring',
    title: 'In time, calmly',
    sentence: 'A lesson with a clock is done in its time; being faster is worth nothing.',
    tryNext: 'Lay out bottles and pipettes in the order of the steps before you begin.',
    weight: 1,
    judge: calm,
  },
  {
    id: 'correction',
    skill: 'putting right',
    title: 'Put right sensibly',
    sentence: 'What went over is put right by the choice that costs least and ends inside.',
    tryNext: 'Read the choices from left to right: the first that says "inside" is usually the one.',
    weight: 3,
    judge: corrected,
  },
];
