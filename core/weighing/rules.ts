import type { DecimalText } from '../quantity/decimal.ts';
import type { Reading } from './reading.ts';

/** What a rule remembers: the readings that may still count, oldest first. */
export interface RuleState {
  readonly kept: readonly { readonly g: DecimalText; readonly at: number }[];
}

/**
 * A plain rule of rest, as indicators and small programs have it; here only to compare with.
 * `take` answers with the mass it would capture at this reading, or null. A cleared rule starts from `blank` when the
 * pour is done; a rolling one goes on with whatever it has seen.
 */
export interface Rule {
  readonly name: string;
  take(state: RuleState, reading: Reading): { readonly state: RuleState; readonly g: DecimalText | null };
}

export const blank: RuleState = { kept: [] };

/** The last `count` readings show the same figure. */
export function equalReadings(count: number): Rule {
  return {
    name: `${count} equal`,
    take(state, { g, at }) {
      const same = state.kept.at(-1)?.g === g;
      const kept = same ? [...state.kept.slice(1 - count), { g, at }] : [{ g, at }];
      return { state: { kept }, g: kept.length >= count ? g : null };
    },
  };
}

/** All readings of the last `seconds` lie within one display step `d` (g), and they span that time. */
export function withinOneStep(seconds: number, d: number): Rule {
  const span = seconds * 1000;
  return {
    name: `range <= 1 d over ${seconds} s`,
    take(state, { g, at }) {
      const all = [...state.kept, { g, at }];
      /* One reading older than the span stays, so that the span is known to be covered. */
      const older = all.findLastIndex((one) => at - one.at >= span);
      const kept = older < 0 ? all : all.slice(older);
      const masses = kept.map((one) => Number(one.g));
      const still = older >= 0 && Math.max(...masses) - Math.min(...masses) <= d * 1.001;
      return { state: { kept }, g: still ? g : null };
    },
  };
}
