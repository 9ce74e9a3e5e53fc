import { decimal, plain } from '../quantity/decimal.ts';
import { type CorrectionLine, type Corrections, corrections, newTargets } from './correction.ts';
import type { CorrectionKind, PourEvent } from './events.ts';
import type { LineState, PourState } from './state.ts';

function correctionLine(state: PourState, line: LineState): CorrectionLine {
  const { step } = line;
  const lot = state.facts.lots.find((one) => one.code === step.lot);
  return {
    id: step.line,
    title: step.title,
    target: line.target,
    half: line.half,
    poured: line.poured,
    drop: decimal(step.drop),
    qs: step.qs,
    solvent: step.kind === 'solvent',
    accepted: line.end === 'kept' || line.end === 'under' || line.end === 'skipped',
    stock: lot?.stock === undefined ? null : decimal(lot.stock),
    price: lot?.price === undefined ? null : decimal(lot.price),
  };
}

/** The corrections open to a batch with a line past its window: exact, least and keep, each with what it costs. */
export function choicesOf(state: PourState): Corrections {
  const { capacity, d } = state.facts.balance.limits;
  return corrections(
    state.lines.map((line) => correctionLine(state, line)),
    {
      tolerance: decimal(state.facts.plan.tolerance),
      d: decimal(d),
      vesselRoom: null,
      balanceRoom: state.gross === null ? null : decimal(capacity).minus(state.gross).plus(state.shift),
    },
  );
}

/** The event that takes one of the choices. */
export function chosen(state: PourState, kind: CorrectionKind): PourEvent {
  const choice = choicesOf(state)[kind];
  return {
    type: 'correction-chosen',
    choice: kind,
    scale: plain(choice.scale),
    targets: newTargets(choice),
    total: plain(choice.total),
  };
}
