import { bottleOf } from '../formula/bottle.ts';
import { dropOf } from '../formula/drop-mass.ts';
import { cautionsOf } from '../formula/steps.ts';
import type { Lot, Material } from '../formula/types.ts';
import { Decimal, decimal } from '../quantity/decimal.ts';
import type { Correction, CorrectionRules } from './correction.ts';
import { leastTopUp, roomForTopUp } from './correction.ts';
import type { OtherBottle } from './correction-bottle.ts';
import type { Counting } from './counting.ts';
import type { NewBottle, StartFacts } from './events.ts';
import { fromOne, lotKnown, lotsKnown, strengthIn } from './frame.ts';
import type { LineState, PourState } from './state.ts';

/** Fractions of two solvents closer than this are those of the same one: strengths are written to some decimals. */
const SAME_FRACTION = new Decimal('1e-6');
/** Masses in g closer than this are the same. */
const SAME_MASS = new Decimal('1e-12');
const zero = new Decimal(0);

const byKey = (facts: StartFacts): ReadonlyMap<string, Material> =>
  new Map(facts.materials.map((material) => [material.key, material]));

/** What a lot holds beside the material, as fractions of that rest; empty where it is neat. */
function diluent(lot: Lot, material: string): Map<string, Decimal> {
  const rest = Object.entries(lot.composition)
    .filter(([key]) => key !== material)
    .map(([key, text]): [string, Decimal] => [key, decimal(text)])
    .filter(([, fraction]) => !fraction.isZero());
  const sum = rest.reduce((total, [, fraction]) => total.plus(fraction), zero);
  return new Map(rest.map(([key, fraction]) => [key, fraction.div(sum)]));
}

/** Whether what dilutes the material in this lot is what the q.s. line fills with. */
function dilutedWith(lot: Lot, material: string, filler: Lot): boolean {
  const rest = diluent(lot, material);
  if (rest.size === 0) return true;
  const fill = diluent(filler, '');
  return [...new Set([...rest.keys(), ...fill.keys()])].every((key) =>
    (rest.get(key) ?? zero)
      .minus(fill.get(key) ?? zero)
      .abs()
      .lte(SAME_FRACTION),
  );
}

/**
 * Lines for which another bottle may shrink the correction: the line whose least top-up sets the scale, lines whose
 * bottle does not hold enough, and lines to come where the q.s. line, already in, sets the scale.
 */
function worthAsking({ lines, qs }: Counting, planned: Correction, rules: CorrectionRules): Set<string> {
  const asked = new Set(
    planned.limits.flatMap((limit) => (limit.what === 'lot' && limit.line !== null ? [limit.line] : [])),
  );
  const short = new Set(lines.filter((line) => asked.has(line.id)).map((line) => line.lot));
  const filled = lines.find((line) => line.id === qs)?.poured.gt(0) === true;
  for (const [i, line] of lines.entries()) {
    const topUp = planned.lines[i]?.topUp ?? null;
    const [edge, least] =
      planned.kind === 'exact'
        ? [topUp?.aim, leastTopUp(line, rules)]
        : [topUp?.high, roomForTopUp(line, rules)];
    const decides = edge?.minus(least).abs().lte(SAME_MASS) === true;
    const sharesShort = line.lot !== undefined && short.has(line.lot);
    if (decides || sharesShort || (filled && line.poured.isZero())) asked.add(line.id);
  }
  return asked;
}

/** Mass left in a bottle; null when not known. */
function stockLeft(state: PourState, lot: Lot): Decimal | null {
  if (lot.stock === undefined) return null;
  return state.pours.reduce(
    (left, pour) => (pour.voided || pour.lot !== lot.code ? left : left.minus(pour.net)),
    decimal(lot.stock),
  );
}

function othersFor(state: PourState, line: LineState, filler: Lot): OtherBottle[] {
  const { material, lot: present } = line.step;
  const planned = lotsKnown(state.facts).find((lot) => lot.code === present);
  if (planned === undefined) return [];
  const strength = strengthIn(planned, material);
  if (strength.isZero()) return [];
  const materials = byKey(state.facts);
  const same = dilutedWith(planned, material, filler);
  return lotsKnown(state.facts)
    .filter((lot) => lot.code !== present && strengthIn(lot, material).gt(0))
    .map((lot) => ({
      line: line.step.line,
      lot: lot.code,
      title: lot.name,
      ratio: strengthIn(lot, material).div(strength),
      drop: decimal(dropOf(bottleOf(lot, materials))),
      stock: stockLeft(state, lot),
      price: lot.price === undefined ? null : decimal(lot.price),
      sameSolvent: same && dilutedWith(lot, material, filler),
    }));
}

/**
 * Bottles known to the batch that could serve a line where that may shrink `planned`. A line that is already poured
 * from two bottles gets no third.
 */
export function bottlesFor(
  state: PourState,
  counting: Counting,
  planned: Correction,
  rules: CorrectionRules,
): OtherBottle[] {
  const qs = state.lines.find((line) => line.step.qs);
  const filler = lotsKnown(state.facts).find((lot) => lot.code === qs?.step.lot);
  if (filler === undefined) return [];
  const asked = worthAsking(counting, planned, rules);
  return state.lines
    .filter((line) => asked.has(line.step.line) && !line.step.qs && fromOne(state, line))
    .flatMap((line) => othersFor(state, line, filler));
}

/** The bottle as a step names it. @throws RangeError when the batch does not know the lot */
export function newBottle(state: PourState, line: string, code: string): NewBottle {
  const materials = byKey(state.facts);
  const bottle = bottleOf(lotKnown(state.facts, code), materials);
  return {
    line,
    lot: code,
    title: bottle.lot.name,
    kind: bottle.kind,
    drop: dropOf(bottle),
    cautions: cautionsOf(bottle, materials),
  };
}
