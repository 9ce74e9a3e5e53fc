import type { Input, Output } from '../../electron/host/table.ts';

/** One line of the editor as it is typed. */
export interface WritingLine {
  readonly id: string;
  /** Name of a material or of another formula, as typed. */
  readonly name: string;
  readonly figure: string;
  readonly unit: 'percent' | 'parts' | 'grams';
  /** Strength of a named dilution in per cent, as typed, and its solvent by name; empty means neat. */
  readonly strength: string;
  readonly solvent: string;
  readonly qs: boolean;
  /** The formula that the line is an accord of, with its version; null for a material. */
  readonly accord: { readonly id: string; readonly n: number } | null;
  /** Lot code where one is chosen. */
  readonly lot: string;
}

/** A formula as it is typed. */
export interface Writing {
  /** Empty while it is new. */
  readonly id: string;
  /** The version that it was written from. */
  readonly base: number | null;
  readonly name: string;
  readonly batch: string;
  /** In per cent. */
  readonly tolerance: string;
  readonly partsOf: string;
  readonly why: string;
  readonly lines: readonly WritingLine[];
}

export type Written = Input<'formulas.check'>['written'];
export type Problem = Output<'formulas.check'>['problems'][number];
export type MaterialChoice = Output<'formulas.materials'>[number];

/** A formula of the list that a line may be an accord of. */
export interface AccordChoice {
  readonly id: string;
  readonly name: string;
  readonly n: number;
}

const figureText = (typed: string): string | null => {
  const text = typed
    .trim()
    .replace(/\s*(%|g|parts?)$/i, '')
    .replace(',', '.');
  return /^\d{1,15}(\.\d{1,25})?$/.test(text) ? text : null;
};

/** Per cent as typed as a fraction, exactly; null where it is none. */
function fractionOf(typed: string): string | null {
  const text = figureText(typed);
  if (text === null) return null;
  const [whole = '', decimals = ''] = text.split('.');
  const digits = whole.padStart(3, '0');
  return `${digits.slice(0, -2)}.${digits.slice(-2)}${decimals}`.replace(/^0+(?=\d)/, '');
}

/** A fraction as per cent, exactly: "0.025" is "2.5". */
export function percentTyped(fraction: string): string {
  const [whole = '0', decimals = ''] = fraction.split('.');
  const digits = decimals.padEnd(2, '0');
  const text = `${whole}${digits.slice(0, 2)}.${digits.slice(2)}`.replace(/\.$/, '').replace(/^0+(?=\d)/, '');
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

const same = (a: string, b: string): boolean => a.trim().toLowerCase() === b.trim().toLowerCase();

export const materialNamed = (name: string, all: readonly MaterialChoice[]): MaterialChoice | null =>
  all.find((one) => same(one.name, name)) ?? all.find((one) => same(one.key, name)) ?? null;

export const blankLine = (id: string, unit: WritingLine['unit'] = 'percent'): WritingLine => ({
  id,
  name: '',
  figure: '',
  unit,
  strength: '',
  solvent: '',
  qs: false,
  accord: null,
  lot: '',
});

export const blankWriting = (): Writing => ({
  id: '',
  base: null,
  name: '',
  batch: '30',
  tolerance: '1',
  partsOf: '',
  why: '',
  lines: [blankLine('l1'), { ...blankLine('l2'), qs: true, name: 'Ethanol' }],
});

/** A line id that no line has. */
export function freeLine(lines: readonly WritingLine[]): string {
  const taken = new Set(lines.map((line) => line.id));
  let n = lines.length + 1;
  while (taken.has(`l${n}`)) n += 1;
  return `l${n}`;
}

interface Reading {
  readonly problems: Problem[];
  readonly materials: readonly MaterialChoice[];
}

function lineOf(line: WritingLine, { problems, materials }: Reading): Written['lines'][number] | null {
  const tell = (part: string, what: string, next: string) =>
    problems.push({ field: `line ${line.id} ${part}`, what, next });
  const name = line.name.trim();
  if (name === '') {
    tell('of', 'the material is missing', 'Type a material of the Organ, or another formula.');
    return null;
  }
  const figure = figureText(line.figure);
  if (!line.qs && line.figure.trim() !== '' && figure === null)
    tell('amount', `"${line.figure}" is no amount`, 'Type a figure, as in 2.5.');
  const strength = line.strength.trim() === '' ? null : fractionOf(line.strength);
  if (line.strength.trim() !== '' && strength === null)
    tell('dilution', `"${line.strength}" is no strength`, 'Type per cent, as in 10.');
  const solvent = line.solvent.trim() === '' ? 'Ethanol' : line.solvent;
  return {
    id: line.id,
    of:
      line.accord === null
        ? { material: materialNamed(name, materials)?.key ?? name }
        : { formula: line.accord.id, version: line.accord.n },
    ...(line.qs || figure === null ? {} : { amount: { figure, unit: line.unit } }),
    ...(strength === null || line.qs
      ? {}
      : { dilution: { strength, solvent: materialNamed(solvent, materials)?.key ?? solvent } }),
    ...(line.qs ? { qs: true as const } : {}),
    ...(line.lot === '' ? {} : { lot: line.lot }),
  };
}

/** What is typed, as the host takes it, with what no figure or name can be read from. */
export function writtenFrom(
  writing: Writing,
  materials: readonly MaterialChoice[],
): { written: Written; problems: Problem[] } {
  const problems: Problem[] = [];
  const tell = (field: string, what: string, next: string) => problems.push({ field, what, next });
  if (writing.name.trim() === '') tell('name', 'the formula has no name', 'Type one.');
  const batch = figureText(writing.batch);
  if (batch === null) tell('batch', 'this batch size is not a mass', 'Type grams, as in 30 or 12.5.');
  const tolerance = fractionOf(writing.tolerance);
  if (tolerance === null) tell('tolerance', 'this is no tolerance', 'Type per cent, as in 1.');
  const partsOf = writing.partsOf.trim() === '' ? null : figureText(writing.partsOf);
  if (writing.partsOf.trim() !== '' && partsOf === null)
    tell('partsOf', 'this is no count of parts', 'Type a figure, as in 100, or leave it empty.');
  const lines = writing.lines.flatMap((line) => lineOf(line, { problems, materials }) ?? []);
  return {
    written: {
      id: writing.id,
      name: writing.name.trim() || 'without a name',
      batch: batch ?? '0',
      tolerance: tolerance ?? '0',
      ...(partsOf === null ? {} : { partsOf }),
      lines,
    },
    problems,
  };
}

/** A formula as it would be typed. */
export function writingFrom(
  written: Written,
  base: number,
  names: { readonly materials: readonly MaterialChoice[]; readonly lines: Output<'formulas.check'>['lines'] },
): Writing {
  const nameOf = (key: string): string => names.materials.find((one) => one.key === key)?.name ?? key;
  return {
    id: written.id,
    base,
    name: written.name,
    batch: written.batch,
    tolerance: percentTyped(written.tolerance),
    partsOf: written.partsOf ?? '',
    why: '',
    lines: written.lines.map((line) => ({
      id: line.id,
      name:
        'material' in line.of
          ? nameOf(line.of.material)
          : (names.lines.find((one) => one.id === line.id)?.title ?? line.of.formula),
      figure: line.amount?.figure ?? '',
      unit: line.amount?.unit ?? 'percent',
      strength: line.dilution === undefined ? '' : percentTyped(line.dilution.strength),
      solvent: line.dilution === undefined ? '' : nameOf(line.dilution.solvent),
      qs: line.qs === true,
      accord: 'formula' in line.of ? { id: line.of.formula, n: line.of.version } : null,
      lot: line.lot ?? '',
    })),
  };
}
