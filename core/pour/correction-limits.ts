import { Decimal, fixed } from '../quantity/decimal.ts';
import type { CorrectionLine, CorrectionRules } from './correction.ts';

/** What stands in the way of a correction. */
export interface CorrectionLimit {
  /** `target`: a line without a target holds something, and no scale makes up for it. */
  readonly what: 'vessel' | 'balance' | 'lot' | 'target';
  readonly line: string | null;
  readonly text: string;
}

const zero = new Decimal(0);

function room(
  what: 'vessel' | 'balance',
  more: Decimal,
  left: Decimal | null,
  shown: Shown,
): CorrectionLimit[] {
  if (left === null || more.lte(left)) return [];
  const text =
    what === 'vessel'
      ? `The vessel has room for ${shown(left)} g more; this needs ${shown(more)} g.`
      : `The balance takes ${shown(left)} g more; this needs ${shown(more)} g.`;
  return [{ what, line: null, text }];
}

type Shown = (mass: Decimal) => string;

/** Lines that together need more of a lot than its bottle held. */
function shortLots(
  lines: readonly CorrectionLine[],
  finals: readonly Decimal[],
  shown: Shown,
): CorrectionLimit[] {
  const needs = new Map<string, { line: CorrectionLine; stock: Decimal; mass: Decimal }>();
  for (const [i, line] of lines.entries()) {
    if (line.stock === null) continue;
    const key = line.lot === undefined ? `line ${line.id}` : `lot ${line.lot}`;
    const mass = (needs.get(key)?.mass ?? zero).plus(finals[i] ?? zero);
    needs.set(key, { line, stock: line.stock, mass });
  }
  return [...needs.values()]
    .filter(({ stock, mass }) => mass.gt(stock))
    .map(({ line, stock, mass }) => ({
      what: 'lot' as const,
      line: line.id,
      text: `The bottle of ${line.title} held ${shown(stock)} g; this needs ${shown(mass)} g in all.`,
    }));
}

/**
 * What stands in the way of bringing the lines to `finals` (g, in the order of the lines): the vessel, the balance,
 * the bottles, or a line without a target.
 */
export function limitsOf(
  lines: readonly CorrectionLine[],
  finals: readonly Decimal[],
  rules: CorrectionRules,
): CorrectionLimit[] {
  const shown: Shown = (mass) => fixed(mass, Math.max(2, rules.d.decimalPlaces()));
  const more = lines.reduce((sum, line, i) => sum.plus((finals[i] ?? zero).minus(line.poured)), zero);
  const stray = lines
    .filter((line) => !line.accepted && !line.target.gt(0) && line.poured.gt(rules.d))
    .map((line) => ({
      what: 'target' as const,
      line: line.id,
      text: `${line.title} has no target: no scale makes up for the ${shown(line.poured)} g in the vessel.`,
    }));
  return [
    ...room('vessel', more, rules.vesselRoom, shown),
    ...room('balance', more, rules.balanceRoom, shown),
    ...shortLots(lines, finals, shown),
    ...stray,
  ];
}
