import type { Correction } from '../../../core/pour/correction.ts';
import type { PourState } from '../../../core/pour/state.ts';
import type { ChoiceView } from '../table.ts';
import { dropsIn, inDrops, percent, shown, signed } from './figures.ts';

/** How many lines a card names before it sums up the rest. */
const NAMED = 3;

export function titleOf(state: PourState, id: string): string {
  return state.lines.find((line) => line.step.line === id)?.step.title ?? id;
}

/** The lines already poured that get a top-up, in words. */
export function topUps(state: PourState, choice: Correction): string[] {
  return choice.lines.flatMap((line) => {
    if (line.topUp === null) return [];
    const step = state.lines.find((one) => one.step.line === line.id)?.step;
    const drops = step === undefined ? null : dropsIn(line.topUp.aim, step.drop, state);
    const count = drops === null ? '' : `, ${inDrops(drops)}`;
    return [`top up ${titleOf(state, line.id)} ${signed(line.topUp.aim, state)} g${count}`];
  });
}

/** The lines still to come that get more. */
export function later(state: PourState, choice: Correction): string[] {
  const grown = choice.lines
    .filter((line) => line.topUp === null && line.extra.gt(0) && !line.poured.gt(0))
    .map((line) => `${titleOf(state, line.id)} ${signed(line.extra, state)}`);
  if (grown.length === 0) return [];
  const rest = grown.length > NAMED ? ` and ${grown.length - NAMED} more` : '';
  return [`${grown.slice(0, NAMED).join(', ')}${rest}`];
}

export function sumUp(lines: readonly string[]): string[] {
  return lines.length > NAMED
    ? [...lines.slice(0, NAMED - 1), `and ${lines.length - NAMED + 1} more top-ups`]
    : [...lines];
}

/** Where the worst line lies, before and after. */
export const deviation = ({ worstBefore, worstAfter }: Correction, before = worstBefore): string =>
  `worst line off by ${percent(before, 1)}, then by ${percent(worstAfter, 1)}`;

/** Every line that ends at another mass than was planned. */
export const extras = (state: PourState, choice: Correction): NonNullable<ChoiceView['lines']> =>
  choice.lines.flatMap((line) =>
    line.extra.isZero() ? [] : [{ title: titleOf(state, line.id), extra: shown(line.extra, state) }],
  );
