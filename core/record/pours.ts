import type { Lot, Material, Step } from '../formula/types.ts';
import { factsWith } from '../pour/adding.ts';
import type { NewBottle, PourEvent, StartFacts, StoredEvent } from '../pour/events.ts';
import { Decimal, decimal } from '../quantity/decimal.ts';

/** One captured pour, with the value it was last revised to. Masses in g. */
export interface RecordedPour {
  readonly pour: number;
  readonly line: string;
  readonly lot: string;
  readonly before: Decimal;
  readonly after: Decimal;
  readonly net: Decimal;
  /** Fraction of the net that is still in the vessel after all that was withdrawn since. */
  readonly stays: Decimal;
  readonly verdict: 'inside' | 'over' | 'under';
  readonly confirmed: boolean;
  /** Its reading was rejected: its net does not count, and the mass is read again from the same gross. */
  readonly voided: boolean;
}

/** Something taken out of the vessel: a part of all that was in. Masses in g. */
export interface RecordedWithdrawal {
  /** The last pour that was captured before it. */
  readonly pour: number;
  readonly from: 'unmixed' | 'stirred';
  readonly before: Decimal;
  readonly after: Decimal;
  readonly taken: Decimal;
}

export type LineMark = 'none' | 'inside' | 'over' | 'under' | 'kept' | 'skipped';

/** One line at the last scale of the batch. Masses in g. */
export interface RecordedLine {
  readonly step: Step;
  readonly target: Decimal;
  readonly half: Decimal;
  readonly poured: Decimal;
  readonly mark: LineMark;
}

export type BatchStatus = 'closed' | 'interrupted' | 'abandoned';

/** What a batch's events come to. */
export interface Poured {
  readonly batch: string;
  readonly facts: StartFacts;
  readonly started: string;
  /** When the first pour was captured; null before it. */
  readonly opened: string | null;
  /** When it was closed or abandoned; null while it is interrupted. */
  readonly ended: string | null;
  readonly status: BatchStatus;
  /** Product of all corrections. */
  readonly scale: Decimal;
  readonly pours: readonly RecordedPour[];
  /** In the order they were made, each with the value it was last revised to. */
  readonly withdrawals: readonly RecordedWithdrawal[];
  /** The batch that begins this one anew, when it was abandoned for that. */
  readonly followedBy: string | null;
  readonly lines: readonly RecordedLine[];
  /** Gross of the empty vessel, and of vessel and batch at closing, as the display showed them. */
  readonly vessel: Decimal | null;
  readonly gross: Decimal | null;
  /** Sum of the jumps made by taring or zeroing the display by hand. */
  readonly shift: Decimal;
  readonly closure: Decimal | null;
}

/** What a withdrawal changes. */
interface Drawable {
  pours: Map<number, RecordedPour>;
  targets: Map<string, { target: Decimal; half: Decimal }>;
  withdrawals: RecordedWithdrawal[];
  scale: Decimal;
}

interface Fold extends Drawable {
  readonly ends: Map<string, 'kept' | 'skipped'>;
  readonly bottles: Map<string, NewBottle>;
  /** Lines that the plan does not have, with what they are poured from. */
  readonly added: Step[];
  readonly addedLots: Lot[];
  readonly addedMaterials: Material[];
  /** As it was before the last withdrawal. */
  undrawn: Drawable | null;
  followedBy: string | null;
  vessel: Decimal | null;
  gross: Decimal | null;
  shift: Decimal;
  closure: Decimal | null;
  status: BatchStatus;
  opened: string | null;
  ended: string | null;
}

const zero = new Decimal(0);

/** Masses in g closer than this are the same: the last digits of a ratio put nothing outside its window. */
const SAME_MASS = new Decimal('1e-15');
/** Decimals of what is left of a line: a ratio ends there. */
const DECIMALS = 24;

function pourNo(fold: Fold, no: number): RecordedPour {
  const pour = fold.pours.get(no);
  if (pour === undefined) throw new RangeError(`the events speak of pour ${no}, which was never captured`);
  return pour;
}

function capture(fold: Fold, event: Extract<PourEvent, { type: 'captured' }>): void {
  fold.pours.set(event.pour, {
    pour: event.pour,
    line: event.line,
    lot: event.lot,
    before: decimal(event.before),
    after: decimal(event.after),
    net: decimal(event.net),
    stays: new Decimal(1),
    verdict: event.verdict,
    confirmed: false,
    voided: false,
  });
}

function change(fold: Fold, no: number, to: Partial<RecordedPour>): void {
  fold.pours.set(no, { ...pourNo(fold, no), ...to });
}

function correct(fold: Fold, event: Extract<PourEvent, { type: 'correction-chosen' }>): void {
  if (event.choice === 'keep') {
    const last = [...fold.pours.values()].findLast((pour) => !pour.voided);
    if (last !== undefined) fold.ends.set(last.line, 'kept');
    return;
  }
  if (event.bottle !== undefined) fold.bottles.set(event.bottle.line, event.bottle);
  rescale(fold, event);
}

function rescale(
  fold: Fold,
  { scale, targets }: Pick<Extract<PourEvent, { type: 'correction-chosen' }>, 'scale' | 'targets'>,
): void {
  fold.scale = fold.scale.times(decimal(scale));
  for (const { line, target, half } of targets)
    fold.targets.set(line, { target: decimal(target), half: decimal(half) });
}

/** Every net that counts stays by the fraction of the vessel that stays. */
function draw(
  fold: Fold,
  event: Extract<PourEvent, { type: 'withdrawn' | 'withdrawal-revised' }>,
  { from, before }: Pick<RecordedWithdrawal, 'from' | 'before'>,
): void {
  const { pours, targets, withdrawals, scale } = fold;
  fold.undrawn = { pours: new Map(pours), targets: new Map(targets), withdrawals: [...withdrawals], scale };
  const taken = decimal(event.taken);
  const counting = [...pours.values()].filter((pour) => !pour.voided);
  const total = withdrawals.reduce(
    (sum, one) => sum.minus(one.taken),
    counting.reduce((sum, pour) => sum.plus(pour.net), zero),
  );
  if (!total.gt(0)) throw new RangeError('the events withdraw from an empty vessel');
  const stays = total.minus(taken).div(total);
  for (const pour of pours.values()) pours.set(pour.pour, { ...pour, stays: pour.stays.times(stays) });
  const pour = Math.max(...pours.keys());
  withdrawals.push({ pour, from, before, after: decimal(event.after), taken });
  rescale(fold, event);
}

function redraw(fold: Fold, event: Extract<PourEvent, { type: 'withdrawal-revised' }>): void {
  const last = fold.withdrawals.at(-1);
  if (fold.undrawn === null || last === undefined)
    throw new RangeError('the events revise a withdrawal that was never made');
  Object.assign(fold, fold.undrawn);
  draw(fold, event, last);
}

function take(fold: Fold, { event, at }: StoredEvent): void {
  switch (event.type) {
    case 'vessel-weighed':
      fold.vessel = decimal(event.gross);
      return;
    case 'captured':
      fold.opened ??= at;
      capture(fold, event);
      return;
    case 'revised':
      change(fold, event.pour, {
        after: decimal(event.after),
        net: decimal(event.net),
        verdict: event.verdict,
      });
      return;
    case 'confirmed':
      change(fold, event.pour, { confirmed: true });
      return;
    case 'voided':
      change(fold, event.pour, { voided: true });
      return;
    case 'correction-chosen':
      correct(fold, event);
      return;
    case 'withdrawn':
      draw(fold, event, { from: event.from, before: decimal(event.before) });
      return;
    case 'withdrawal-revised':
      redraw(fold, event);
      return;
    case 'skipped':
      fold.ends.set(event.line, 'skipped');
      return;
    case 're-zeroed':
      fold.shift = fold.shift.plus(decimal(event.to)).minus(decimal(event.from));
      return;
    case 'closed':
      fold.gross = decimal(event.gross);
      fold.closure = decimal(event.closure);
      fold.status = 'closed';
      fold.ended = at;
      return;
    case 'abandoned':
      fold.status = 'abandoned';
      fold.ended = at;
      fold.followedBy = event.followedBy ?? null;
      return;
    case 'line-added':
      fold.added.push(event.step);
      fold.addedLots.push(event.lot);
      fold.addedMaterials.push(...event.materials);
      return;
    case 'pour-begun':
    case 'vessel-lifted':
    case 'vessel-returned':
    case 're-read':
    case 'caution-heeded':
    case 'break-taken':
    case 'closing-weighed':
    case 'pan-checked':
    case 'withdrawal-begun':
    case 'withdrawal-left':
    case 'paused':
    case 'resumed':
    case 'balance-lost':
    case 'balance-back':
    case 'noticed':
    case 'amended':
      return;
    case 'started':
      throw new RangeError('the events begin the batch twice');
    default:
      event satisfies never;
  }
}

function markOf(line: Omit<RecordedLine, 'mark'>, end: 'kept' | 'skipped' | undefined): LineMark {
  if (end !== undefined) return end;
  if (line.step.unplanned === true && line.poured.gt(0)) return 'kept';
  if (line.poured.isZero()) return 'none';
  const off = line.poured.minus(line.target);
  if (off.abs().lte(line.half.plus(SAME_MASS))) return 'inside';
  return off.gt(0) ? 'over' : 'under';
}

function linesOf(facts: StartFacts, fold: Fold): RecordedLine[] {
  const sums = new Map<string, Decimal>();
  for (const pour of fold.pours.values())
    if (!pour.voided) sums.set(pour.line, (sums.get(pour.line) ?? zero).plus(pour.net.times(pour.stays)));
  return [...facts.plan.steps, ...fold.added].map((planned) => {
    const { line: _, ...bottle } = fold.bottles.get(planned.line) ?? {};
    const step = { ...planned, ...bottle };
    const now = fold.targets.get(step.line);
    const line = {
      step,
      target: now?.target ?? decimal(step.target),
      half: now?.half ?? decimal(step.half),
      poured: (sums.get(step.line) ?? zero).toDecimalPlaces(DECIMALS),
    };
    return { ...line, mark: markOf(line, fold.ends.get(step.line)) };
  });
}

/**
 * What the stored events of one batch come to: its pours, each with the value it was last revised to, and its lines at
 * the last scale. Voided pours are listed and do not count.
 * @throws RangeError when the first event is not `started`, or when a later one speaks of a pour or a withdrawal
 * that never was
 */
export function pouredOf(events: readonly StoredEvent[]): Poured {
  const first = events[0];
  if (first?.event.type !== 'started')
    throw new RangeError(`a batch begins with "started", not with "${first?.event.type ?? 'nothing'}"`);
  const { type: _, ...facts } = first.event;
  const fold: Fold = {
    pours: new Map(),
    targets: new Map(),
    ends: new Map(),
    bottles: new Map(),
    added: [],
    addedLots: [],
    addedMaterials: [],
    withdrawals: [],
    undrawn: null,
    followedBy: null,
    scale: new Decimal(1),
    vessel: null,
    gross: null,
    shift: zero,
    closure: null,
    status: 'interrupted',
    opened: null,
    ended: null,
  };
  for (const event of events.slice(1)) take(fold, event);
  const {
    targets: _t,
    ends: _e,
    bottles: _b,
    undrawn: _u,
    added: _a,
    addedLots,
    addedMaterials,
    pours,
    ...rest
  } = fold;
  return {
    batch: first.batch,
    facts: factsWith(facts, addedLots, addedMaterials),
    started: first.at,
    ...rest,
    pours: [...pours.values()],
    lines: linesOf(facts, fold),
  };
}
