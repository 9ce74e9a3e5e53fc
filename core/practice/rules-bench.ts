import { breakDue, NO_WORK, WORK_MINUTES, worked } from '../pour/breaks.ts';
import { cautionsFor } from '../pour/cautions.ts';
import { lineOf } from '../pour/state.ts';
import { type Evidence, walk } from './evidence.ts';
import { between, type Finding, type Moment, many, meanMark, type Rule } from './rule.ts';

/** Every bottle that was begun, with the lot before it. */
function bottles(evidence: Evidence) {
  let last: string | null = null;
  return walk(evidence).flatMap(({ at, event, before }) => {
    if (event.type !== 'pour-begun') return [];
    const one = { at, lot: event.lot, last, title: lineOf(before, event.line).step.title };
    last = event.lot;
    return [one];
  });
}

function rightBottle(evidence: Evidence): Finding | null {
  const taken = bottles(evidence);
  const wrong = evidence.deeds.flatMap((deed) =>
    deed.type === 'wrong-bottle' && !deed.planned ? [deed] : [],
  );
  if (taken.length === 0 || (evidence.lesson === null && wrong.length === 0)) return null;
  if (evidence.lesson?.task.engine === 'pour' && evidence.lesson.task.shelf === undefined) return null;
  return {
    mark: 1 - between(wrong.length, 0, 2),
    says:
      wrong.length === 0
        ? 'Every bottle was the right one, by its lot.'
        : `${many(wrong.length, 'bottle')} had another lot than the step named.`,
    moments: wrong.map(({ at, lot, wanted }) => ({
      at,
      says: `you took lot ${lot}; the step named ${wanted}`,
    })),
  };
}

function inOrder(evidence: Evidence): Finding | null {
  const taken = bottles(evidence);
  if (taken.length < 2) return null;
  const moments: Moment[] = [
    ...evidence.deeds.flatMap((deed): Moment[] =>
      deed.type === 'wrong-bottle' && deed.planned
        ? [{ at: deed.at, says: `lot ${deed.lot} comes later; the step named ${deed.wanted}` }]
        : [],
    ),
    ...evidence.events.flatMap(({ at, event }): Moment[] =>
      event.type === 'skipped' ? [{ at, says: `a line was skipped: ${event.reason}` }] : [],
    ),
  ];
  return {
    mark: 1 - between(moments.length, 0, 3),
    says:
      moments.length === 0
        ? 'The bottles came in the order of the steps.'
        : `${many(moments.length, 'time')} the order of the steps was left.`,
    moments,
  };
}

/** A change of bottle wants a pipette that was taken since the last one; a record of the workshop does not tell. */
function freshPipette(evidence: Evidence): Finding | null {
  if (evidence.lesson === null) return null;
  const taken = bottles(evidence);
  const changes = taken.filter((one) => one.last !== null && one.last !== one.lot);
  if (changes.length === 0) return null;
  const moments = changes.flatMap(({ at, title }): Moment[] => {
    const since = taken.findLast((one) => one.at < at)?.at ?? evidence.began;
    const fresh = evidence.deeds.some(
      (deed) => deed.type === 'fresh-pipette' && deed.at >= since && deed.at <= at,
    );
    return fresh ? [] : [{ at, says: `the pipette of the bottle before went on to ${title}` }];
  });
  return {
    mark: 1 - moments.length / changes.length,
    says:
      moments.length === 0
        ? 'Each bottle had a fresh pipette.'
        : `${many(moments.length, 'bottle')} of ${changes.length} had the pipette of the one before.`,
    moments,
  };
}

function heeded(evidence: Evidence): Finding | null {
  const marks: number[] = [];
  const moments: Moment[] = [];
  const known = new Set<string>();
  for (const { at, event, before } of walk(evidence)) {
    if (event.type !== 'pour-begun') continue;
    const due = cautionsFor(lineOf(before, event.line).step).filter(({ key }) => !known.has(key));
    if (due.length === 0) continue;
    const missed = due.filter(({ key }) => !before.heeded.includes(key));
    marks.push(1 - missed.length / due.length);
    for (const { key } of due) known.add(key);
    const [first] = missed;
    if (first !== undefined) moments.push({ at, says: `not heeded: ${first.text}` });
  }
  if (marks.length === 0) return null;
  return {
    mark: meanMark(marks),
    says:
      moments.length === 0
        ? 'Every caution was heeded before its bottle.'
        : `Cautions were passed over before ${many(moments.length, 'bottle')}.`,
    moments,
  };
}

function closedWell(evidence: Evidence): Finding | null {
  const steps = walk(evidence);
  const closed = steps.find(({ event }) => event.type === 'closed');
  if (closed === undefined) return null;
  const weighed = steps.some(({ event }) => event.type === 'closing-weighed');
  const pan = steps.findLast(({ event }) => event.type === 'pan-checked')?.event;
  if (!weighed || pan?.type !== 'pan-checked')
    return {
      mark: 0.6,
      says: 'It was closed without the check of the empty pan.',
      moments: [{ at: closed.at, says: 'closed here, with the vessel still on' }],
    };
  return {
    mark: pan.passes ? 1 : 0.8,
    says: pan.passes
      ? 'Closed with the check: the pan came back to where it began.'
      : `Closed with the check, and it found something: the empty pan read ${pan.pan} g.`,
    moments: [],
  };
}

function rested(evidence: Evidence): Finding | null {
  let work = NO_WORK;
  const moments: Moment[] = [];
  let due = false;
  for (const { at, event } of evidence.events) {
    if (!due && breakDue(work, at)) {
      due = true;
      moments.push({ at, says: `${WORK_MINUTES} minutes of work without a rest ended here` });
    }
    if (event.type === 'break-taken') due = false;
    work = worked(work, event, at);
  }
  const breaks = evidence.events.filter(({ event }) => event.type === 'break-taken').length;
  if (moments.length === 0 && breaks === 0) return null;
  const missed = Math.max(0, moments.length - breaks);
  return {
    mark: 1 - between(missed, 0, 2),
    says: missed === 0 ? 'Rests were taken in time.' : `${many(missed, 'rest')} was due and not taken.`,
    moments: missed === 0 ? [] : moments,
  };
}

export const BENCH_RULES: readonly Rule[] = [
  {
    id: 'right-bottle',
    skill: 'order of the bench',
    title: 'Right bottle',
    sentence: 'The bottle that is taken carries the lot that the step names.',
    tryNext: 'Read the lot on the bottle aloud before you open it.',
    weight: 3,
    judge: rightBottle,
  },
  {
    id: 'order',
    skill: 'order of the bench',
    title: 'In order',
    sentence: 'Bottles come in the order of the steps, and none is left out.',
    tryNext: 'Stand the bottles in a row in the order of the steps before you begin.',
    weight: 1,
    judge: inOrder,
  },
  {
    id: 'fresh-pipette',
    skill: 'order of the bench',
    title: 'Fresh pipette',
    sentence: 'Every bottle has a fresh pipette.',
    tryNext: 'Lay a clean pipette beside each bottle, and the bin on the other side.',
    weight: 2,
    judge: freshPipette,
  },
  {
    id: 'cautions',
    skill: 'order of the bench',
    title: 'Cautions heeded',
    sentence: 'What a bottle asks for is done before it is opened.',
    tryNext: 'Read the cautions before you reach for the bottle; do each, then say so.',
    weight: 2,
    judge: heeded,
  },
  {
    id: 'breaks',
    skill: 'order of the bench',
    title: 'Rests taken',
    sentence: 'Fifteen minutes of rest in the hour (common practice, no source).',
    tryNext: 'Pause when the program says that a rest is due: between two bottles is the place for it.',
    weight: 1,
    judge: rested,
  },
  {
    id: 'closing',
    skill: 'putting right',
    title: 'Closing check',
    sentence: 'The batch ends with its closing figure and a look at the empty pan.',
    tryNext: 'At the end take the closing figure, lift the vessel, and see the pan come back to zero.',
    weight: 1,
    judge: closedWell,
  },
];
