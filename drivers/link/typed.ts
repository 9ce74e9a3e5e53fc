import { decimalsOf } from '../../core/quantity/decimal.ts';
import { gramsKeepingDigits } from '../../core/quantity/units.ts';
import type { LinkState, Observation } from '../../core/weighing/reading.ts';
import { figureOf } from '../frames/figure.ts';
import { type Clock, realClock } from '../simulated/clock.ts';
import { type Balance, LinkTrouble } from './balance.ts';
import { LinkSignals } from './signals.ts';

/** A balance without data socket: the person, or a balance that types like a keyboard, enters its figure. */
export interface TypedBalance extends Balance {
  /**
   * Enters what the display shows at rest: "12.34", "12,34", "-0.05 g", "0.250 kg".
   * @throws LinkTrouble "bad-figure" that says what is wrong
   */
  type(text: string): void;
}

const UNITS = ['g', 'kg', 'mg', 'ct', 'oz', 'ozt', 'lb', 'dwt', 'gr'];
const FIGURE = /^\s*([+-]?)\s*(\d{1,9}(?:[.,]\d{1,6})?)\s*([a-z]{0,3})\s*$/;

/** Shape that the state of this link names: there are no lines. */
export const TYPED_SHAPE = 'typed';

/**
 * A balance whose figures are typed. Records name it "typed by hand". Each entry is one reading, marked as typed; it
 * is never repeated as if a balance had sent it again.
 */
export function typedBalance(options: { readonly clock?: Clock } = {}): TypedBalance {
  const clock = options.clock ?? realClock;
  const signals = new LinkSignals();
  const what = 'typed by hand';
  let running = false;

  return {
    what,
    get state(): LinkState {
      return signals.state;
    },
    onObservation: (listener: (observation: Observation) => void) => signals.onObservation(listener),
    onState: (listener: (state: LinkState) => void) => signals.onState(listener),
    start() {
      running = true;
      signals.set({ kind: 'live', what, shape: TYPED_SHAPE });
    },
    async stop() {
      running = false;
      signals.set({ kind: 'none' });
    },
    async press(key) {
      throw new LinkTrouble(
        'unsupported',
        `The ${key} key cannot be pressed from here.`,
        what,
        `Press it on the balance, then type what the display shows.`,
      );
    },
    type(text) {
      const { figure, unit, raw } = readTyped(text);
      if (!running) throw new LinkTrouble('lost', 'No figure is awaited.', what, 'Choose this way again.');
      signals.observe({
        kind: 'weight',
        g: gramsKeepingDigits(figure, unit),
        figure,
        digits: decimalsOf(figure),
        unit,
        stable: true,
        typed: true,
        raw,
        at: clock.now(),
      });
    },
  };
}

function readTyped(text: string): { figure: string; unit: string; raw: string } {
  const wrong = (why: string, next: string): LinkTrouble =>
    new LinkTrouble('bad-figure', `"${text.trim()}" ${why}.`, 'typed figure', next);
  const [, sign = '', digits = '', unit = ''] = FIGURE.exec(text) ?? [];
  const figure = digits === '' ? null : figureOf(sign, digits.replace(',', '.'));
  if (figure === null)
    throw wrong('is not a figure of a display', 'Type the figure as it stands, for example 12.34.');
  if (unit !== '' && !UNITS.includes(unit))
    throw wrong(`has the unit "${unit}", which is not known`, `Use grams, or one of ${UNITS.join(', ')}.`);
  return { figure, unit: unit === '' ? 'g' : unit, raw: text.trim() };
}
