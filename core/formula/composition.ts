import { Decimal, type DecimalText, decimal, plain } from '../quantity/decimal.ts';
import { type Problem, trouble } from './trouble.ts';

/** One part of a lot: a material, or another lot, by mass fraction, with its standard uncertainty. */
export interface Part {
  readonly of: { readonly material: string } | { readonly lot: string };
  readonly fraction: DecimalText;
  readonly u?: DecimalText;
}

/** A lot told by its parts, which may be lots themselves, without limit of depth. */
export interface MadeOf {
  readonly code: string;
  readonly parts: readonly Part[];
}

/** Composition over materials, with standard uncertainties; both as mass fractions by material key. */
export interface ResolvedComposition {
  readonly composition: Readonly<Record<string, DecimalText>>;
  readonly uncertainty: Readonly<Record<string, DecimalText>>;
}

/** Fractions by material, and what each source of error, one standard uncertainty of it, does to them. */
interface Resolved {
  readonly values: ReadonlyMap<string, Decimal>;
  readonly errors: ReadonlyMap<string, ReadonlyMap<string, Decimal>>;
}

const ZERO = new Decimal(0);
const SUM_SLACK = new Decimal('0.000001');
const DECIMALS = 12;

function add(sums: Map<string, Decimal>, key: string, value: Decimal): void {
  sums.set(key, (sums.get(key) ?? ZERO).plus(value));
}

function checkParts({ code, parts }: MadeOf): void {
  const problem = (what: string): Problem => ({
    field: `lot ${code}`,
    what,
    next: 'Correct the parts of this lot.',
  });
  const sum = parts.reduce((total, part) => total.plus(decimal(part.fraction)), ZERO);
  const wrong = parts.find((part) => {
    const fraction = decimal(part.fraction);
    return !fraction.gt(0) || fraction.gt(1) || decimal(part.u ?? '0').lt(0);
  });
  const found = wrong !== undefined ? problem(`the part ${wrong.fraction} is not between 0 and 1`) : null;
  const short = sum.minus(1).abs().gt(SUM_SLACK)
    ? problem(`its parts add up to ${plain(sum)}, not to 1`)
    : null;
  const first = found ?? short;
  if (first !== null) throw trouble(first.field, first.what, first.next);
}

/** Adds one part of a lot, already resolved, into the sums of the lot. */
function include(
  code: string,
  part: Part,
  at: number,
  inner: Resolved,
  values: Map<string, Decimal>,
  errors: Map<string, Map<string, Decimal>>,
): void {
  const fraction = decimal(part.fraction);
  const u = decimal(part.u ?? '0');
  for (const [key, value] of inner.values) {
    add(values, key, value.times(fraction));
    const own = errors.get(key) ?? new Map<string, Decimal>();
    errors.set(key, own);
    if (!u.isZero()) add(own, JSON.stringify([code, at]), value.times(u));
    for (const [source, effect] of inner.errors.get(key) ?? []) add(own, source, effect.times(fraction));
  }
}

function resolveAll(code: string, lots: ReadonlyMap<string, MadeOf>): Resolved {
  const done = new Map<string, Resolved>();
  const open: string[] = [];
  const visit = (lotCode: string): Resolved => {
    const known = done.get(lotCode);
    if (known !== undefined) return known;
    if (open.includes(lotCode))
      throw trouble(
        `lot ${lotCode}`,
        `it would be made of itself: ${[...open.slice(open.indexOf(lotCode)), lotCode].join(' from ')}`,
        'Take it out of its own parts.',
      );
    const lot = lots.get(lotCode);
    if (lot === undefined)
      throw trouble(
        `lot ${open.at(-1) ?? lotCode}`,
        `there is no lot "${lotCode}"`,
        'Name a lot that is on the shelf.',
      );
    checkParts(lot);
    open.push(lotCode);
    const values = new Map<string, Decimal>();
    const errors = new Map<string, Map<string, Decimal>>();
    for (const [at, part] of lot.parts.entries()) {
      const inner =
        'lot' in part.of
          ? visit(part.of.lot)
          : { values: new Map([[part.of.material, new Decimal(1)]]), errors: new Map() };
      include(lotCode, part, at, inner, values, errors);
    }
    open.pop();
    const resolved = { values, errors };
    done.set(lotCode, resolved);
    return resolved;
  };
  return visit(code);
}

/**
 * Composition of a lot over materials, through all lots it is made of. The uncertainty is the law of propagation to
 * first order: errors of parts are independent, and a lot that is met on several ways brings the same error each time,
 * so that it adds up instead of averaging out.
 * @throws FormulaTrouble when a lot is missing, is made of itself, or its parts do not add up to 1
 */
export function resolveComposition(code: string, lots: ReadonlyMap<string, MadeOf>): ResolvedComposition {
  const { values, errors } = resolveAll(code, lots);
  const rounded = [...values].map(([key, value]) => [key, plain(value.toDecimalPlaces(DECIMALS))] as const);
  const uncertain = [...errors].flatMap(([key, effects]) => {
    const square = [...effects.values()].reduce((sum, effect) => sum.plus(effect.times(effect)), ZERO);
    return square.isZero() ? [] : [[key, plain(square.sqrt().toDecimalPlaces(DECIMALS))] as const];
  });
  return { composition: Object.fromEntries(rounded), uncertainty: Object.fromEntries(uncertain) };
}
