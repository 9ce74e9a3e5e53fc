import type { Correction, Corrections } from '../../../core/pour/correction.ts';
import type { PourState } from '../../../core/pour/state.ts';
import type { Decimal } from '../../../core/quantity/decimal.ts';
import type { ChoiceView } from '../table.ts';
import { dropsIn, inDrops, percent, shown, signed } from './figures.ts';

/** How many lines a card names before it sums up the rest. */
const NAMED = 3;

function titleOf(state: PourState, id: string): string {
  return state.lines.find((line) => line.step.line === id)?.step.title ?? id;
}

/** The lines already poured that get a top-up, in words. */
function topUps(state: PourState, choice: Correction): string[] {
  return choice.lines.flatMap((line) => {
    if (line.topUp === null) return [];
    const step = state.lines.find((one) => one.step.line === line.id)?.step;
    const drops = step === undefined ? null : dropsIn(line.topUp.aim, step.drop, state);
    const count = drops === null ? '' : `, ${inDrops(drops)}`;
    return [`top up ${titleOf(state, line.id)} ${signed(line.topUp.aim, state)} g${count}`];
  });
}

/** The lines still to come that get more. */
function later(state: PourState, choice: Correction): string[] {
  const grown = choice.lines
    .filter((line) => line.topUp === null && line.extra.gt(0) && !line.poured.gt(0))
    .map((line) => `${titleOf(state, line.id)} ${signed(line.extra, state)}`);
  if (grown.length === 0) return [];
  const rest = grown.length > NAMED ? ` and ${grown.length - NAMED} more` : '';
  return [`${grown.slice(0, NAMED).join(', ')}${rest}`];
}

function sumUp(lines: readonly string[]): string[] {
  return lines.length > NAMED
    ? [...lines.slice(0, NAMED - 1), `and ${lines.length - NAMED + 1} more top-ups`]
    : [...lines];
}

function scaling(state: PourState, choice: Correction, title: string, key: string, last: string): ChoiceView {
  const cost = choice.cost === null ? [] : [`costs ${choice.cost.toFixed(2)} more`];
  return {
    kind: choice.kind,
    title,
    headline: `${signed(choice.extra, state)} g in all, batch ${shown(choice.total, state)} g`,
    points: [...later(state, choice), ...sumUp(topUps(state, choice)), ...cost, last],
    key,
    possible: choice.limits.length === 0,
    why: choice.limits[0]?.text ?? null,
  };
}

function keeping(state: PourState, choice: Correction, over: { id: string; by: Decimal } | null): ChoiceView {
  return {
    kind: 'keep',
    title: 'Keep and record',
    headline:
      over === null
        ? 'nothing more to pour'
        : `${titleOf(state, over.id)} ${over.by.gt(0) ? '+' : ''}${percent(over.by, 1)}`,
    points: [
      'nothing is topped up',
      'the record tells what is in the bottle',
      `batch ${shown(choice.total, state)} g`,
    ],
    key: '3',
    possible: true,
    why: null,
  };
}

/** The three corrections as cards, each with what it costs. `over` is the line past its window, by a fraction of its target. */
export function choiceViews(
  state: PourState,
  choices: Corrections,
  over: { id: string; by: Decimal } | null,
): ChoiceView[] {
  return [
    scaling(state, choices.least, 'Least correction', '1', 'every line inside its window'),
    scaling(state, choices.exact, 'Exact correction', '2', 'composition as the formula'),
    keeping(state, choices.keep, over),
  ];
}
