import { Decimal, plain } from '../quantity/decimal.ts';
import { type FromBottle, linesOfBottles } from './accord-bottle.ts';
import { type LineShare, wholeShares } from './shares.ts';
import { FormulaTrouble, type Problem, trouble } from './trouble.ts';
import type { Formula, FormulaLine, Lot } from './types.ts';
import type { WrittenFormula, WrittenLine } from './written.ts';

/** Where accords, bottles and names are looked up. */
export interface Sources {
  /** A version of another formula; null when there is none. */
  accord(formula: string, version: number): WrittenFormula | null;
  lot(code: string): Lot | null;
  /** Formula that a lot was made by; null where no batch of one made it. */
  madeBy(lot: Lot): string | null;
  /** Name of a material as shown; null when there is none. */
  nameOf(material: string): string | null;
  isSolvent(material: string): boolean;
}

/** Where a part of a material comes from: a line of its own, or an accord, outermost first. */
export interface Origin {
  readonly line: string;
  readonly accords: readonly string[];
  readonly fraction: Decimal;
}

/** A material of the whole, with all the ways it comes in. */
export interface Resolved {
  readonly material: string;
  readonly fraction: Decimal;
  readonly from: readonly Origin[];
}

export interface Resolution {
  /** Fractions of neat materials and solvents, to be planned. */
  readonly formula: Formula;
  /** Every material stated, the filling one left out, in the order of the lines. */
  readonly materials: readonly Resolved[];
  /** What was joined, opened or filled, in sentences. */
  readonly words: readonly string[];
}

const ZERO = new Decimal(0);
const ONE = new Decimal(1);
/** Decimals of a fraction in the resolved formula. */
const DECIMALS = 20;

type Parts = ReadonlyMap<string, { readonly fraction: Decimal; readonly from: readonly Origin[] }>;

const percent = (value: Decimal): string => `${plain(value.times(100).toSignificantDigits(5))} %`;

class Opening {
  readonly #sources: Sources;
  readonly #done = new Map<string, Parts>();
  readonly #path: { readonly id: string; readonly name: string }[] = [];
  constructor(sources: Sources, top: WrittenFormula) {
    this.#sources = sources;
    this.#path.push({ id: top.id, name: top.name });
  }

  /** All of an accord as fractions of it, its filling material with them. */
  whole(line: WrittenLine, id: string, version: number): Parts {
    const names = this.#path.map((one) => one.name);
    const back = this.#path.findIndex((one) => one.id === id);
    const accord = this.#sources.accord(id, version);
    if (back >= 0)
      throw trouble(
        `line ${this.#line(line)} of`,
        `it would be made of itself: ${[...names.slice(back), accord?.name ?? names[back] ?? id].join(' from ')}`,
        'Take it out of its own accords.',
      );
    if (accord === null)
      throw trouble(
        `line ${this.#line(line)} of`,
        `there is no version ${version} of the formula "${id}"`,
        'Choose a formula of the list.',
      );
    const key = `${id}\n${version}`;
    const known = this.#done.get(key);
    if (known !== undefined) return known;
    this.#path.push({ id, name: accord.name });
    if (this.#path.length === 2) this.#first = line.id;
    const parts = this.#partsOf(accord);
    this.#path.pop();
    this.#done.set(key, parts);
    return parts;
  }

  /** The line of the formula on top by which the present accord came in. */
  #first = '';
  #line(line: WrittenLine): string {
    return this.#path.length === 1 ? line.id : this.#first;
  }

  #partsOf(accord: WrittenFormula): Parts {
    const shares = wholeShares(accord);
    const parts = new Map<string, { fraction: Decimal; from: Origin[] }>();
    for (const one of shares.lines) this.add(parts, one);
    if (shares.fill === null) return parts;
    const { material } = shares.fill;
    const stated = [...parts].reduce(
      (sum, [key, { fraction }]) => (key === material ? sum : sum.plus(fraction)),
      ZERO,
    );
    parts.set(material, { fraction: ONE.minus(stated), from: [] });
    return parts;
  }

  /** Adds what one line brings in, opened where it is an accord. */
  add(parts: Map<string, { fraction: Decimal; from: Origin[] }>, { line, share, neat }: LineShare): void {
    const put = (material: string, fraction: Decimal, accords: readonly string[]): void => {
      const before = parts.get(material) ?? { fraction: ZERO, from: [] };
      parts.set(material, {
        fraction: before.fraction.plus(fraction),
        from: [...before.from, { line: line.id, accords, fraction }],
      });
    };
    if ('material' in line.of) {
      put(line.of.material, neat, []);
      return;
    }
    const { formula, version } = line.of;
    const name = this.#sources.accord(formula, version)?.name ?? formula;
    for (const [material, { fraction }] of this.whole(line, formula, version))
      put(material, fraction.times(share), [name]);
  }
}

/** A lot for an accord line: it must hold what a batch of this accord became. */
function bottleOf(line: WrittenLine, share: Decimal, sources: Sources): FromBottle | null {
  if (line.lot === undefined || 'material' in line.of) return null;
  const lot = sources.lot(line.lot);
  const { formula } = line.of;
  if (lot === null)
    throw trouble(
      `line ${line.id} lot`,
      `there is no lot "${line.lot}"`,
      'Choose a lot that is on the shelf, or pour the accord from its parts.',
    );
  if (sources.madeBy(lot) !== formula)
    throw trouble(
      `line ${line.id} lot`,
      `"${lot.name}" (${lot.code}) was not made by this accord`,
      'Choose a lot that a batch of it became, or pour the accord from its parts.',
    );
  return { line: line.id, lot, share };
}

/** Lines of their own materials, those of one material and one lot joined under the first. */
interface Own {
  readonly id: string;
  readonly material: string;
  readonly lot: string | undefined;
  fraction: Decimal;
}

function ownLines(lines: readonly LineShare[], fill: string | null): Map<string, Own> {
  const own = new Map<string, Own>();
  for (const { line, neat } of lines) {
    if ('formula' in line.of || line.of.material === fill) continue;
    const key = `${line.of.material}\n${line.lot ?? ''}`;
    const there = own.get(key);
    if (there === undefined)
      own.set(key, { id: line.id, material: line.of.material, lot: line.lot, fraction: neat });
    else there.fraction = there.fraction.plus(neat);
  }
  return own;
}

/** Puts what accords bring in onto the first own line of the material, or onto a new one. */
function withAccords(own: Map<string, Own>, accords: Parts, fill: string | null): Own[] {
  const first = new Map<string, Own>();
  for (const one of own.values()) if (!first.has(one.material)) first.set(one.material, one);
  const added: Own[] = [];
  for (const [material, { fraction, from }] of accords) {
    if (material === fill || fraction.isZero()) continue;
    const there = first.get(material);
    if (there !== undefined) there.fraction = there.fraction.plus(fraction);
    else added.push({ id: `${from[0]?.line ?? 'accord'}.${material}`, material, lot: undefined, fraction });
  }
  return [...own.values(), ...added];
}

function sentences(materials: readonly Resolved[], lines: readonly LineShare[], sources: Sources): string[] {
  const accords = lines.flatMap(({ line, share }) => {
    if ('material' in line.of) return [];
    const name = sources.accord(line.of.formula, line.of.version)?.name ?? line.of.formula;
    const from =
      line.lot === undefined
        ? 'poured from its parts'
        : `poured from bottle ${line.lot} with what that holds as made`;
    return [`${name}, version ${line.of.version}, is ${percent(share)} of the whole, ${from}.`];
  });
  const joined = materials.flatMap(({ material, fraction, from }) => {
    if (from.length < 2) return [];
    const ways = from.map((one) =>
      one.accords.length === 0
        ? `${percent(one.fraction)} by a line of its own`
        : `${percent(one.fraction)} from ${one.accords.join(', in ')}`,
    );
    return [`${sources.nameOf(material) ?? material} ${percent(fraction)}: ${ways.join(', ')}.`];
  });
  return [...accords, ...joined];
}

function fillSentences(fill: { material: string }, parts: Parts, named: boolean, sources: Sources): string[] {
  const name = sources.nameOf(fill.material) ?? fill.material;
  const stated = parts.get(fill.material);
  return [
    ...(named ? [] : [`${name} fills to the whole: the dilutions bring most of it.`]),
    ...(stated === undefined || stated.fraction.isZero()
      ? []
      : [`${percent(stated.fraction)} of ${name} that other lines ask for is part of the q.s. line.`]),
  ];
}

/** Refuses materials that the Organ does not have, each at its line. */
function checkNames(written: WrittenFormula, sources: Sources): void {
  const problems = written.lines.flatMap(({ id, of, dilution }): Problem[] => {
    const wanted = [
      { field: `line ${id} of`, key: 'material' in of ? of.material : null },
      { field: `line ${id} dilution`, key: dilution?.solvent ?? null },
    ];
    return wanted.flatMap(({ field, key }) =>
      key === null || sources.nameOf(key) !== null
        ? []
        : [{ field, what: `there is no material "${key}"`, next: 'Choose one that is in the Organ.' }],
    );
  });
  if (problems.length > 0) throw new FormulaTrouble(problems);
}

/**
 * Resolves a written formula into fractions of neat materials and solvents: shares from per cent, parts and grams,
 * dilutions by their strength, accords opened to any depth, one material from several lines joined. Without a q.s.
 * line, the solvent that named dilutions bring most of fills. An accord poured from its own bottle is resolved to what
 * that bottle holds as made.
 * @throws FormulaTrouble when the formula is not whole, an accord is missing or not whole, or the formula would be made
 *   of itself: the way is named
 */
export function resolve(written: WrittenFormula, sources: Sources): Resolution {
  checkNames(written, sources);
  const shares = wholeShares(written);
  const opening = new Opening(sources, written);
  const fill = shares.fill?.material ?? null;
  const opened = new Map<string, { fraction: Decimal; from: Origin[] }>();
  const all = new Map<string, { fraction: Decimal; from: Origin[] }>();
  const bottles: FromBottle[] = [];
  for (const one of shares.lines) {
    const bottle = bottleOf(one.line, one.share, sources);
    if (bottle !== null) {
      if ('formula' in one.line.of) opening.whole(one.line, one.line.of.formula, one.line.of.version);
      bottles.push(bottle);
      continue;
    }
    if ('formula' in one.line.of) opening.add(opened, one);
    opening.add(all, one);
  }
  const own = withAccords(ownLines(shares.lines, fill), opened, fill);
  const plainLines: FormulaLine[] = own.map(({ id, material, fraction, lot }) => ({
    id,
    material,
    fraction: plain(fraction.toDecimalPlaces(DECIMALS)),
    ...(lot === undefined ? {} : { lot }),
  }));
  const fillLine = shares.fill === null ? [] : [lineOfFill(shares.fill)];
  const lines =
    bottles.length === 0 ? plainLines : linesOfBottles(plainLines, bottles, fill, sources.isSolvent);
  const materials = [...all]
    .filter(([material]) => material !== fill)
    .map(([material, { fraction, from }]) => ({ material, fraction, from }));
  return {
    formula: {
      id: written.id,
      name: written.name,
      batch: written.batch,
      tolerance: written.tolerance,
      lines: [...lines, ...fillLine],
    },
    materials,
    words: [
      ...sentences(materials, shares.lines, sources),
      ...(shares.fill === null ? [] : fillSentences(shares.fill, all, shares.fill.line !== null, sources)),
    ],
  };
}

function lineOfFill({ material, line }: { material: string; line: WrittenLine | null }): FormulaLine {
  const lot = line?.lot;
  return { id: line?.id ?? 'fill', material, qs: true, ...(lot === undefined ? {} : { lot }) };
}
