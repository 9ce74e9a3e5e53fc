import { Decimal } from '../quantity/decimal.ts';
import { type LineState, lineOf, type PourState, type Verdict } from './state.ts';

/** Masses in g closer than this are the same: the last digits of a ratio put nothing past its window. */
const SAME_MASS = new Decimal('1e-15');

/** What is to be added to a line now: the aim and the window of this pour. Masses in g. */
export interface PourWindow {
  readonly aim: Decimal;
  readonly low: Decimal;
  readonly high: Decimal;
}

/**
 * The q.s. line fills to the total: its aim takes up what the other lines have too much or too little,
 * as far as its own window allows.
 */
function qsAim(state: PourState, line: LineState): Decimal {
  const others = state.lines
    .filter((one) => one.step.line !== line.step.line)
    .reduce((sum, one) => sum.plus(one.end === 'open' ? one.target : one.poured), new Decimal(0));
  const rest = state.total.minus(others);
  return Decimal.max(line.target.minus(line.half), Decimal.min(rest, line.target.plus(line.half)));
}

/** A line without a target takes what the person wants, from one step of the display to what the balance can bear. */
function unplannedWindow(state: PourState): PourWindow {
  const { d, capacity } = state.facts.balance.limits;
  const low = new Decimal(d);
  const gross = (state.gross ?? new Decimal(0)).minus(state.shift);
  return { aim: low, low, high: Decimal.max(low, new Decimal(capacity).minus(gross)) };
}

/** The window of the next pour onto `line`: target and half-window less what is already in, or the top-up that is due. */
export function pourWindow(state: PourState, line: LineState): PourWindow {
  if (line.step.unplanned === true) return unplannedWindow(state);
  const low = line.target.minus(line.half).minus(line.poured);
  const high = line.target.plus(line.half).minus(line.poured);
  if (line.topUp !== null) return { aim: line.topUp.aim, low: line.topUp.low, high };
  const target = line.step.qs ? qsAim(state, line) : line.target;
  return { aim: target.minus(line.poured), low, high };
}

/**
 * How a net settled onto a line lies against its window. A top-up that is less than its interval by no more than
 * half a drop counts as inside where the line is inside: the size of a drop is an estimate, the window is the rule.
 */
export function verdictOf(state: PourState, lineId: string, net: Decimal): Verdict {
  const line = lineOf(state, lineId);
  const { low, high } = pourWindow(state, line);
  if (net.gt(high.plus(SAME_MASS))) return 'over';
  if (line.step.unplanned === true) return net.gt(0) ? 'inside' : 'under';
  const slack = line.topUp === null ? new Decimal(0) : new Decimal(line.step.drop).div(2);
  const lineLow = line.target.minus(line.half).minus(line.poured);
  return net.gt(0) && net.gte(Decimal.max(low.minus(slack), lineLow)) ? 'inside' : 'under';
}
