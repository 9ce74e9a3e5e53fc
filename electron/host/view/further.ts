import type { Choices } from '../../../core/pour/choices.ts';
import type { BottleOffer } from '../../../core/pour/correction-bottle.ts';
import type { Withdrawal } from '../../../core/pour/correction-withdraw.ts';
import type { PourState } from '../../../core/pour/state.ts';
import { Decimal } from '../../../core/quantity/decimal.ts';
import type { ChoiceView } from '../table.ts';
import { deviation, extras, later, sumUp, titleOf, topUps } from './costs.ts';
import { percent, shown, signed } from './figures.ts';

type Words = Pick<ChoiceView, 'kind' | 'title' | 'key'> & { readonly last: string };

function withdrawing(
  state: PourState,
  choices: Choices,
  withdrawal: Withdrawal | null,
  { last, ...words }: Words,
): ChoiceView[] {
  if (withdrawal === null) return [];
  const { aim, from, rest, lost } = withdrawal;
  const cost = lost === null || rest.cost === null ? [] : [`costs ${lost.plus(rest.cost).toFixed(2)} more`];
  const grows = rest.scale.gt(1) ? [`the batch grows by ${shown(rest.extra, state)} g`] : [];
  return [
    {
      ...words,
      headline: `${shown(aim, state)} g out, batch ${shown(rest.total, state)} g`,
      points: [
        ...(from === 'stirred' ? ['stir first'] : []),
        ...grows,
        ...later(state, rest),
        ...sumUp(topUps(state, rest)),
        ...cost,
        deviation(rest, choices.keep.worstBefore),
        last,
      ],
      possible: rest.limits.length === 0,
      why: rest.limits[0]?.text ?? null,
      lines: extras(state, rest),
    },
  ];
}

function fromBottle(state: PourState, offer: BottleOffer | null, { last, ...words }: Words): ChoiceView[] {
  if (offer === null) return [];
  const { bottle, correction, saves } = offer;
  const cost = correction.cost === null ? [] : [`costs ${correction.cost.toFixed(2)} more`];
  return [
    {
      ...words,
      headline: `${signed(correction.extra, state)} g in all, batch ${shown(correction.total, state)} g`,
      points: [
        `${titleOf(state, bottle.line)} from lot ${bottle.lot}, ${bottle.title}`,
        `${shown(Decimal.max(saves, 0), state)} g less than with the planned bottle`,
        ...later(state, correction),
        ...sumUp(topUps(state, correction)),
        ...cost,
        deviation(correction),
        last,
      ],
      possible: correction.limits.length === 0,
      why: correction.limits[0]?.text ?? null,
      lines: extras(state, correction),
    },
  ];
}

function startingAgain(state: PourState, { again, keep }: Choices): ChoiceView {
  const { discarded, lost, total, limits } = again;
  return {
    kind: 'again',
    title: 'Start again',
    headline: `${shown(discarded, state)} g thrown away, batch ${shown(total, state)} g anew`,
    points: [
      'clean vessel, every line from the first',
      ...(lost === null ? [] : [`throws away ${lost.toFixed(2)}`]),
      `worst line off by ${percent(keep.worstBefore, 1)}, then by nothing`,
      'both records stay, each naming the other',
    ],
    key: '8',
    possible: limits.length === 0,
    why: limits[0]?.text ?? null,
  };
}

/** The further choices that apply, as cards: withdrawing, another bottle, starting again. */
export function furtherViews(state: PourState, choices: Choices): ChoiceView[] {
  const { withdrawUnmixed, withdrawLeast, withdrawExact, bottleLeast, bottleExact } = choices;
  const inside = 'every line inside its window';
  const exactly = 'composition as the formula';
  return [
    ...withdrawing(state, choices, withdrawUnmixed, {
      kind: 'withdraw-unmixed',
      title: 'Withdraw the excess',
      key: '4',
      last: 'nothing else is in the vessel yet',
    }),
    ...withdrawing(state, choices, withdrawLeast, {
      kind: 'withdraw-least',
      title: 'Stir and withdraw, least',
      key: '4',
      last: inside,
    }),
    ...withdrawing(state, choices, withdrawExact, {
      kind: 'withdraw-exact',
      title: 'Stir and withdraw, exact',
      key: '5',
      last: exactly,
    }),
    ...fromBottle(state, bottleLeast, {
      kind: 'bottle-least',
      title: 'Another bottle, least',
      key: '6',
      last: inside,
    }),
    ...fromBottle(state, bottleExact, {
      kind: 'bottle-exact',
      title: 'Another bottle, exact',
      key: '7',
      last: exactly,
    }),
    startingAgain(state, choices),
  ];
}
