import { type Evidence, type Rest, restAfter, restAt, walk } from './evidence.ts';
import { between, type Finding, type Moment, many, meanMark, type Rule, seconds } from './rule.ts';

/** A figure has stood so long before it is taken, ms. */
const STOOD_MS = 1000;
/** Taken early by this much, ms, counts as not waited at all. */
const FAR_TOO_EARLY_MS = 1200;
/** A rest that comes later than this is no longer the one that was waited for, ms. */
const LATEST_MS = 6000;

interface Taken {
  readonly at: number;
  /** "you read", "you took the next bottle": what was done with the figure. */
  readonly what: string;
  readonly refused: boolean;
}

/** Every moment at which a figure was taken for true, or was wanted to be. */
function takenFigures(evidence: Evidence): Taken[] {
  const deeds = evidence.deeds.flatMap((deed): Taken[] => {
    if (deed.type === 'read') return [{ at: deed.at, what: 'you read', refused: false }];
    if (deed.type === 'refused' && deed.moving) return [{ at: deed.at, what: deed.did, refused: true }];
    return [];
  });
  const events = walk(evidence).flatMap(({ at, event, before }): Taken[] => {
    if (event.type === 'vessel-weighed') return [{ at, what: 'you took the vessel', refused: false }];
    if (event.type === 'closing-weighed')
      return [{ at, what: 'you took the closing figure', refused: false }];
    if (event.type === 'closed' && before.closing === null)
      return [{ at, what: 'you closed', refused: false }];
    if (event.type === 'pour-begun' && before.pours.length > 0)
      return [{ at, what: 'you took the next bottle', refused: false }];
    return [];
  });
  return [...deeds, ...events].sort((a, b) => a.at - b.at);
}

/** The rest that the display came to after a moment, before anything else was done; null where it never did. */
function restBeforeNext(evidence: Evidence, at: number): Rest | null {
  const rest = restAfter(evidence, at);
  const next = evidence.deeds.find((deed) => deed.at > at)?.at ?? Number.POSITIVE_INFINITY;
  return rest === null || rest.since > next || rest.from - at > LATEST_MS ? null : rest;
}

/** How much too early a figure was taken, ms; 0 for in time, null where it never came to rest afterwards. */
function earlyBy(evidence: Evidence, at: number): number | null {
  const rest = restAt(evidence, at);
  if (rest !== null) return Math.max(0, rest.since + STOOD_MS - at);
  const next = restBeforeNext(evidence, at);
  return next === null ? null : Math.max(0, next.since + STOOD_MS - at);
}

function waited(evidence: Evidence): Finding | null {
  if (evidence.typed || evidence.trace.length === 0) return null;
  const taken = takenFigures(evidence);
  if (taken.length === 0) return null;
  const moments: Moment[] = [];
  const marks = taken.map(({ at, what, refused }) => {
    const early = earlyBy(evidence, at);
    if (early === 0 && !refused) return 1;
    const says =
      early === null
        ? `${what} while the figure was still moving`
        : `${what} ${seconds(early)} too early here`;
    moments.push({ at, says });
    return early === null ? 0 : 1 - between(early, 0, FAR_TOO_EARLY_MS);
  });
  const late = moments.length;
  const says =
    late === 0
      ? `Every figure, ${taken.length} in all, had stood for a second before it was taken.`
      : `${many(late, 'figure')} of ${taken.length} had not stood for a second.`;
  return { mark: meanMark(marks), says, moments };
}

function answers({ deeds }: Evidence): Finding | null {
  const all = deeds.flatMap((deed) => (deed.type === 'answered' ? [deed] : []));
  if (all.length === 0) return null;
  const wrong = all.filter((one) => !one.right);
  return {
    mark: (all.length - wrong.length) / all.length,
    says:
      wrong.length === 0
        ? `Every answer was right, ${all.length} in all.`
        : `${all.length - wrong.length} of ${all.length} answers were right.`,
    moments: wrong.map(({ at, given, wanted }) => ({
      at,
      says: `you answered ${given}; by your own figures it is ${wanted}`,
    })),
  };
}

/** A read figure is the truth that the trace came to, within one step. */
function readTrue(evidence: Evidence): Finding | null {
  const reads = evidence.deeds.flatMap((deed) => (deed.type === 'read' ? [deed] : []));
  if (reads.length === 0 || evidence.typed) return null;
  const wrong: Moment[] = [];
  for (const { at, g } of reads) {
    const rest = restAt(evidence, at) ?? restBeforeNext(evidence, at);
    if (rest === null) wrong.push({ at, says: `you read ${g} g, and it never came to rest there` });
    else if (Math.abs(Number(g) - Number(rest.g)) > 1.5 * evidence.d)
      wrong.push({ at, says: `you read ${g} g; it came to rest at ${rest.g} g` });
  }
  return {
    mark: 1 - wrong.length / reads.length,
    says:
      wrong.length === 0
        ? 'Every figure read was the one the display came to rest at.'
        : `${many(wrong.length, 'figure')} of ${reads.length} was not the one the display came to rest at.`,
    moments: wrong,
  };
}

export const READING_RULES: readonly Rule[] = [
  {
    id: 'settled',
    skill: 'reading',
    title: 'Waited for the figure',
    sentence: 'A figure has stood for a second before it is taken.',
    tryNext: 'Take your hand away, say "one, and" to yourself once the figure stands, and only then take it.',
    weight: 3,
    judge: waited,
  },
  {
    id: 'true-figure',
    skill: 'reading',
    title: 'Read the true figure',
    sentence: 'The figure that is read is the one the display comes to rest at, within one step.',
    tryNext: 'Look away from the display while it moves; look again when nothing has changed for a second.',
    weight: 2,
    judge: readTrue,
  },
  {
    id: 'answers',
    skill: 'reading',
    title: 'Worked out right',
    sentence: 'What is worked out from the figures is right.',
    tryNext: 'Write both figures down, one under the other, before you subtract.',
    weight: 3,
    judge: answers,
  },
];
