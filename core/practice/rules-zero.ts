import { type Evidence, type TracePoint, walk } from './evidence.ts';
import { type Finding, type Moment, many, type Rule } from './rule.ts';

/** Below this the pan is empty, g; above it something stands there. */
const EMPTY = 2;

/** The display so far from zero is not at zero, in steps; where the air moves it is given more. */
const OFF_STEPS = 1.5;
const OFF_STEPS_IN_DRAUGHT = 4;

const farOff = ({ lesson, d }: Evidence): number =>
  d * (lesson?.room === 'draughty' ? OFF_STEPS_IN_DRAUGHT : OFF_STEPS);

interface SeenZero {
  readonly at: number;
  readonly g: number;
}

/** The last figures of the empty pan before anything was put on it. */
function emptyBefore(trace: readonly TracePoint[], until: number): SeenZero | null {
  const up = trace.findIndex((one) => one.at <= until && Number(one.g) > EMPTY);
  const last = up > 0 ? trace[Math.max(0, up - 4)] : undefined;
  return last === undefined ? null : { at: last.at, g: Number(last.g) };
}

function zeroed(evidence: Evidence): Finding | null {
  const steps = evidence.lesson?.task.engine === 'exercise' ? evidence.lesson.task.steps : [];
  const zeroStep = steps.find((one) => one.do === 'zero')?.id;
  const deed = evidence.deeds.find((one) => one.type === 'stepped' && one.step === zeroStep);
  const vessel = evidence.events.find(({ event }) => event.type === 'vessel-weighed');
  const seen =
    deed?.type === 'stepped' && deed.g !== null
      ? { at: deed.at, g: Number(deed.g) }
      : vessel === undefined
        ? null
        : emptyBefore(evidence.trace, vessel.at);
  if (seen === null) return null;
  const off = Math.abs(seen.g) > farOff(evidence);
  return off
    ? {
        mark: 0,
        says: `The empty pan stood at ${seen.g.toFixed(2)} g when you went on.`,
        moments: [{ at: seen.at, says: `the empty pan showed ${seen.g.toFixed(2)} g here` }],
      }
    : { mark: 1, says: 'The empty pan was at zero before anything was put on it.', moments: [] };
}

function tared(evidence: Evidence): Finding | null {
  const task = evidence.lesson?.task;
  if (task?.engine === 'exercise') {
    const step = task.steps.find((one) => one.do === 'tare')?.id;
    const deed = evidence.deeds.find((one) => one.type === 'stepped' && one.step === step);
    if (step === undefined || deed?.type !== 'stepped' || deed.g === null) return null;
    const off = Math.abs(Number(deed.g)) > farOff(evidence);
    return off
      ? {
          mark: 0,
          says: `The display stood at ${deed.g} g where it was to be tared.`,
          moments: [{ at: deed.at, says: `the display was not tared: it showed ${deed.g} g here` }],
        }
      : { mark: 1, says: 'The display was tared with the vessel on it.', moments: [] };
  }
  if (!evidence.events.some(({ event }) => event.type === 'captured')) return null;
  const moments = evidence.events.flatMap(({ at, event }): Moment[] =>
    event.type === 're-zeroed'
      ? [{ at, says: 'the display was tared or zeroed here, in the middle of the batch' }]
      : [],
  );
  return {
    mark: moments.length === 0 ? 1 : moments.length === 1 ? 0.5 : 0.2,
    says:
      moments.length === 0
        ? 'Running gross: the display was left alone from the vessel to the end.'
        : `The display was tared or zeroed ${many(moments.length, 'time')} in the middle.`,
    moments,
  };
}

/** Moments at which something heavy came onto the pan. */
function placings(trace: readonly TracePoint[]): number[] {
  const found: number[] = [];
  let stands = false;
  for (const { at, g } of trace) {
    const now = Number(g) > EMPTY;
    if (now && !stands) found.push(at);
    stands = now;
  }
  return found;
}

function placedOnce(evidence: Evidence): Finding | null {
  const task = evidence.lesson?.task;
  let moments: Moment[];
  if (task?.engine === 'exercise') {
    const wanted = task.steps.filter((one) => one.do === 'put').length;
    if (evidence.deeds.some((one) => one.type === 'pressed' && one.key === 'tare')) return null;
    const placed = placings(evidence.trace);
    if (placed.length === 0) return null;
    moments = placed.slice(wanted).map((at) => ({ at, says: 'it was lifted and put back here' }));
  } else {
    const steps = walk(evidence);
    if (!steps.some(({ event }) => event.type === 'vessel-weighed')) return null;
    moments = steps.flatMap(({ at, event, before }): Moment[] => {
      if (event.type === 'vessel-lifted' && before.closing === null)
        return [{ at, says: 'the vessel left the pan here' }];
      if (event.type === 'noticed' && event.what === 'knock')
        return [{ at, says: 'vessel or pan was touched here' }];
      return [];
    });
  }
  return {
    mark: moments.length === 0 ? 1 : moments.length === 1 ? 0.5 : 0.2,
    says:
      moments.length === 0
        ? 'It was put down once, and left alone.'
        : `It was lifted or touched ${many(moments.length, 'time')}.`,
    moments,
  };
}

export const ZERO_RULES: readonly Rule[] = [
  {
    id: 'zero',
    skill: 'zero and tare',
    title: 'Zero first',
    sentence: 'The empty pan is at zero before anything is put on it.',
    tryNext: 'Look at the empty display first, every time; press zero if it shows anything else.',
    weight: 2,
    judge: zeroed,
  },
  {
    id: 'tare',
    skill: 'zero and tare',
    title: 'Tare and running gross',
    sentence: 'The display is tared where it is asked, and left alone in the middle of a batch.',
    tryNext: 'Decide before you begin: running gross, or tare. Then leave the key alone.',
    weight: 2,
    judge: tared,
  },
  {
    id: 'placed-once',
    skill: 'zero and tare',
    title: 'Put down once',
    sentence: 'The vessel is put down once, in the middle, and not touched until the end.',
    tryNext: 'Set everything at hand before you begin, so that the vessel can stay where it is.',
    weight: 1,
    judge: placedOnce,
  },
];
