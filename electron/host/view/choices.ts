import type { Choices } from '../../../core/pour/choices.ts';
import type { Correction } from '../../../core/pour/correction.ts';
import type { PourState } from '../../../core/pour/state.ts';
import type { Decimal } from '../../../core/quantity/decimal.ts';
import type { ChoiceView } from '../table.ts';
import { deviation, extras, later, sumUp, titleOf, topUps } from './costs.ts';
import { percent, shown, signed } from './figures.ts';
import { furtherViews } from './further.ts';

function scaling(state: PourState, choice: Correction, title: string, key: string, last: string): ChoiceView {
  const cost = choice.cost === null ? [] : [`costs ${choice.cost.toFixed(2)} more`];
  return {
    kind: choice.kind,
    title,
    headline: `${signed(choice.extra, state)} g in all, batch ${shown(choice.total, state)} g`,
    points: [...later(state, choice), ...sumUp(topUps(state, choice)), ...cost, deviation(choice), last],
    key,
    possible: choice.limits.length === 0,
    why: choice.limits[0]?.text ?? null,
    lines: extras(state, choice),
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
      deviation(choice),
      'the record tells what is in the bottle',
      `batch ${shown(choice.total, state)} g`,
    ],
    key: '3',
    possible: true,
    why: null,
    lines: extras(state, choice),
  };
}

/** The corrections as cards, each with what it costs: least, exact and keep first, then the further ones that apply. `over` is the line past its window, by a fraction of its target. */
export function choiceViews(
  state: PourState,
  choices: Choices,
  over: { id: string; by: Decimal } | null,
): ChoiceView[] {
  return [
    scaling(state, choices.least, 'Least correction', '1', 'every line inside its window'),
    scaling(state, choices.exact, 'Exact correction', '2', 'composition as the formula'),
    keeping(state, choices.keep, over),
    ...furtherViews(state, choices),
  ];
}
