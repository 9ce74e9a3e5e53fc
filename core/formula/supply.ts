import { decimal } from '../quantity/decimal.ts';
import { daysBetween } from './shelf-life.ts';
import type { Formula, Lot } from './types.ts';

/** A bottle that holds less than this share of the most it ever held is running out (chosen, no source). */
const LOW_SHARE = 0.2;
/** So many days before its date a bottle is told of (chosen, no source). */
export const EXPIRES_WITHIN_DAYS = 60;

/** A formula that asks a lot by name for more than it holds. */
export interface Want {
  readonly name: string;
  /** Mass one batch as written takes from the lot, g. */
  readonly g: number;
}

/**
 * What one batch of each formula takes from the lots it names, by lot; the largest want of each. A formula of one line
 * and its solvent is a dilution, made when wanted: it keeps no lot waiting.
 */
export function wantsOf(formulas: readonly Formula[], lots: ReadonlyMap<string, Lot>): Map<string, Want> {
  const wants = new Map<string, Want>();
  for (const { name, batch, lines } of formulas) {
    if (lines.filter((line) => line.qs !== true).length < 2) continue;
    for (const { lot: code, material, fraction } of lines) {
      const strength = Number(lots.get(code ?? '')?.composition[material] ?? 0);
      if (code === undefined || fraction === undefined || strength === 0) continue;
      const g = (Number(batch) * Number(fraction)) / strength;
      if (g > (wants.get(code)?.g ?? 0)) wants.set(code, { name, g });
    }
  }
  return wants;
}

/**
 * Why a lot is running out, in words; null while it is not, or where its stock is not known.
 * @param most the most it was ever said to hold, g
 */
export function lowOf(lot: Lot, most: number | undefined, want: Want | undefined): string | null {
  if (lot.stock === undefined) return null;
  const stock = decimal(lot.stock);
  if (stock.lte(0)) return 'empty by what was poured';
  if (want !== undefined && stock.lt(want.g))
    return `${lot.stock} g left, and ${want.name} takes ${want.g.toFixed(2)} g`;
  if (most !== undefined && stock.lt(most * LOW_SHARE))
    return `${lot.stock} g left, less than a fifth of ${most} g`;
  return null;
}

/** Whether a lot is past its date or soon will be, in words; null while it is not, or where it has none. */
export function expiryOf(
  { bestBefore }: Pick<Lot, 'bestBefore'>,
  today: string,
): { readonly past: boolean; readonly text: string } | null {
  if (bestBefore === undefined) return null;
  const days = daysBetween(today, bestBefore);
  if (days < 0) return { past: true, text: `was best before ${bestBefore}` };
  if (days > EXPIRES_WITHIN_DAYS) return null;
  const when = days === 0 ? 'today' : days === 1 ? 'tomorrow' : `in ${days} days`;
  return { past: false, text: `best before ${bestBefore}, ${when}` };
}
