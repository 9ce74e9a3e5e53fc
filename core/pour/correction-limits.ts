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

interface Need {
  readonly line: CorrectionLine;
  readonly stock: Decimal;
  readonly mass: Decimal;
}

/** Lines that together need more of a lot than its bottle held. */
function shortLots(
  lines: readonly CorrectionLine[],
  finals: readonly Decimal[],
  shown: Shown,
): CorrectionLimit[] {
  const alone: Need[] = [];
  const needs = new Map<string, Need>();
  for (const [i, line] of lines.entries()) {
    if (line.stock === null) continue;
    const final = finals[i] ?? zero;
    const need = line.lot === undefined ? undefined : needs.get(line.lot);
    const mass = need === undefined ? final : need.mass.plus(final);
    if (line.lot === undefined) alone.push({ line, stock: line.stock, mass });
    else needs.set(line.lot, { line, stock: line.stock, mass });
  }
  return [...alone, ...needs.values()]
    .filter(({ stock, mass }) => mass.gt(stock))
    .map(({ line, stock, mass }) => ({
      what: 'lot' as const,
      line: line.id,
      text: `The bottle of ${line.title} held ${shown(stock)} g; this needs ${shown(mass)} g in all.`,
    }));
}

/**
 * What stands in the way of bringing the lines to `finals` (g, in the order of the lines) by adding `more` g: the vessel, the balance,
 * the bottles, or a line without a target.
 */
export function limitsOf(
  lines: readonly CorrectionLine[],
  finals: readonly Decimal[],
  more: Decimal,
  rules: CorrectionRules,
): CorrectionLimit[] {
  const shown: Shown = (mass) => fixed(mass, Math.max(2, rules.d.decimalPlaces()));
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
