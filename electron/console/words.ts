import { Decimal, fixed } from '../../core/quantity/decimal.ts';
import type { CorrectionLine, OverpourLine, PourLine } from './pour-line.ts';

const g = (mass: string, decimals = 2): string => `${fixed(new Decimal(mass), decimals)} g`;
const percent = (fraction: string): string => `${new Decimal(fraction).times(100).toFixed(2)} %`;

/** Tells the lines of a pour in words, remembering the titles of the steps. */
export class Words {
  readonly #titles = new Map<string, string>();
  #steps = 0;

  /** What a line says to a person; empty where it needs no words. */
  of(line: PourLine): string {
    switch (line.event) {
      case 'started':
        return `Pouring "${line.formula}", ${line.total_g} g.`;
      case 'vessel':
        return `Vessel on the balance: ${g(line.gross_g)}.`;
      case 'step': {
        this.#titles.set(line.line, line.title);
        this.#steps += 1;
        const [low, high] = line.window_g;
        const what = line.top_up ? 'top up' : 'pour';
        return `\n${this.#steps}. ${line.title}, lot ${line.lot}: ${what} ${g(line.target_g, 3)}  (window ${g(low, 3)} to ${g(high, 3)})`;
      }
      case 'under':
        return `   settled under, ${g(line.to_go_g, 3)} to go`;
      case 'capture':
        return `   captured ${g(line.net_g)}: ${line.verdict}`;
      case 'revised':
        return `   settled better, ${g(line.net_g)}: ${line.verdict}`;
      case 'overpour':
        return this.#overpour(line);
      case 'correction':
        return this.#correction(line);
      case 'withdraw': {
        const [low, high] = line.window_g;
        const window = high === null ? 'or more' : `window ${g(low, 3)} to ${g(high, 3)}`;
        const first = line.from === 'stirred' ? 'stir, then take' : 'take';
        return `   ${first} ${g(line.target_g, 3)} out of the vessel  (${window})`;
      }
      case 'withdrawn':
      case 'withdrawal-revised': {
        const due = line.targets.filter((one) => one.top_up_g !== null);
        const topUps = due.map(
          (one) => `${this.#titles.get(one.line) ?? one.line} ${g(one.top_up_g ?? '0', 3)}`,
        );
        const more = topUps.length === 0 ? '' : `; to top up: ${topUps.join(', ')}`;
        return `   taken out ${g(line.taken_g)}: ${line.verdict}${more}`;
      }
      case 'closed':
        return [
          `\nClosed: ${g(line.total_g)} in the vessel, closure ${g(line.closure_g)}.`,
          `Strength as made ${percent(line.strength)} by mass; the formula says ${percent(line.strength_target)}.`,
          `Record: ${line.record}\n        ${line.csv}`,
        ].join('\n');
      default:
        return `   ${JSON.stringify(line)}`;
    }
  }

  #overpour({ over_g, choices, further }: OverpourLine): string {
    const ways = choices.map(
      (one) =>
        `     ${one.choice.padEnd(5)}  scale ${new Decimal(one.scale).toFixed(4)}, batch ${g(one.total_g)}` +
        `${one.all_inside ? ', every line inside' : ''}${one.limits.map((limit) => `, but: ${limit}`).join('')}`,
    );
    const others = further.map((one) => {
      const out = one.out_g === null ? '' : `, ${g(one.out_g, 3)} out`;
      const bottle = one.bottle === null ? '' : `, lot ${one.bottle.lot}`;
      const limits = one.limits.map((limit) => `, but: ${limit}`).join('');
      return `     ${one.choice}${out}${bottle}, batch ${g(one.total_g)}${limits}`;
    });
    return [`   too much by ${g(over_g, 3)}; ways to go on:`, ...ways, ...others].join('\n');
  }

  #correction({ choice, total_g, targets }: CorrectionLine): string {
    const topUps = targets.flatMap(({ line, top_up_g }) =>
      top_up_g === null ? [] : [`${this.#titles.get(line) ?? line} ${g(top_up_g, 3)}`],
    );
    const more = topUps.length === 0 ? 'nothing to top up' : `to top up: ${topUps.join(', ')}`;
    return `   taken: ${choice}, the batch becomes ${g(total_g)}; ${more}`;
  }
}
