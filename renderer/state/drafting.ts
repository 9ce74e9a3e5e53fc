import type { BatchSize, Draft, Trouble } from '../../electron/host/table.ts';

/** A field of the plan sheet that a trouble can stand beside. */
export type Field = 'batch size' | 'vessel mass' | 'vessel capacity';

/** What is wrong with a draft; `field` is null where it belongs to no field. */
export interface Wrong {
  readonly field: Field | null;
  readonly trouble: Trouble;
}

/** A draft as it is typed and chosen on the plan sheet. */
export interface Drafting {
  readonly by: BatchSize['by'];
  /** Batch mass in g as typed; empty means the formula's own. */
  readonly grams: string;
  /** What the bottle to be filled holds, in mL, as typed. */
  readonly millilitres: string;
  /** The empty vessel, and what it holds, in g as typed; empty where not told. */
  readonly vesselMass: string;
  readonly vesselCapacity: string;
  /** Bottles chosen by hand: lot codes by line. */
  readonly lots: Readonly<Record<string, string>>;
  /** Lines in the order wanted; null leaves it to the program. */
  readonly order: readonly string[] | null;
}

export const BLANK: Drafting = {
  by: 'mass',
  grams: '',
  millilitres: '',
  vesselMass: '',
  vesselCapacity: '',
  lots: {},
  order: null,
};

const amountText = (typed: string, unit: RegExp): string | null => {
  const text = typed.trim().replace(unit, '').replace(',', '.');
  return /^\d+(\.\d+)?$/.test(text) ? text : null;
};

/** A mass as typed, point or comma, as plain decimal text; null where it is none. */
export const massText = (typed: string): string | null => amountText(typed, /\s*g$/);

/** A volume as typed, point or comma, as plain decimal text in mL; null where it is none. */
export const volumeText = (typed: string): string | null => amountText(typed, /\s*ml$/i);

/** A share typed in per cent as a fraction in plain decimal text, exactly; null where it is none. */
export function fractionText(typed: string): string | null {
  const text = amountText(typed, /\s*%$/);
  if (text === null) return null;
  const [whole = '', decimals = ''] = text.split('.');
  const digits = whole.padStart(3, '0');
  return `${digits.slice(0, -2)}.${digits.slice(-2)}${decimals}`;
}

const wrong = (field: Field, what: string, next: string): Wrong => ({
  field,
  trouble: { what, where: field, next },
});

type Sizing = { readonly size?: BatchSize } | Wrong;

function sizing({ by, grams, millilitres }: Drafting): Sizing {
  if (by === 'mass') {
    if (grams.trim() === '') return {};
    const g = massText(grams);
    return g === null
      ? wrong('batch size', 'This batch size is not a mass.', 'Type grams, as in 30 or 12.5.')
      : { size: { by, g } };
  }
  if (by === 'volume') {
    const ml = volumeText(millilitres);
    if (millilitres.trim() === '')
      return wrong('batch size', 'The volume of the bottle is not told yet.', 'Type millilitres, as in 30.');
    return ml === null
      ? wrong('batch size', 'This is not a volume.', 'Type millilitres, as in 30 or 7.5.')
      : { size: { by, ml } };
  }
  return { size: { by } };
}

/** The draft to plan, or everything that is wrong with what is typed. */
export function draftOf(formula: string, typed: Drafting): { draft: Draft } | { wrong: Wrong[] } {
  const size = sizing(typed);
  const mass = massText(typed.vesselMass);
  const capacity = massText(typed.vesselCapacity);
  const found: Wrong[] = 'field' in size ? [size] : [];
  if (typed.vesselMass.trim() !== '' && mass === null)
    found.push(
      wrong('vessel mass', 'This is not the mass of a vessel.', 'Type grams, or leave the field empty.'),
    );
  if (typed.vesselCapacity.trim() !== '' && capacity === null)
    found.push(wrong('vessel capacity', 'This is not a mass.', 'Type grams, or leave the field empty.'));
  if (found.length > 0 || 'field' in size) return { wrong: found };
  return {
    draft: {
      formula,
      ...size,
      ...(Object.keys(typed.lots).length === 0 ? {} : { lots: { ...typed.lots } }),
      ...(typed.order === null ? {} : { order: [...typed.order] }),
      ...(mass === null && capacity === null
        ? {}
        : { vessel: { ...(mass === null ? {} : { mass }), ...(capacity === null ? {} : { capacity }) } }),
    },
  };
}

/** A draft that the host gave, as it would have been typed. */
export function draftingOf({ size, lots, order, vessel }: Draft): Drafting {
  return {
    by: size?.by ?? 'mass',
    grams: size?.by === 'mass' ? size.g : '',
    millilitres: size?.by === 'volume' ? size.ml : '',
    vesselMass: vessel?.mass ?? '',
    vesselCapacity: vessel?.capacity ?? '',
    lots: lots ?? {},
    order: order ?? null,
  };
}

/** The field that the host's name for a place means; null where it means none of the sheet. */
export function fieldOf(where: string | null): Field | null {
  if (where === 'batch' || where === 'batch size' || where === 'volume') return 'batch size';
  if (where === 'vessel' || where === 'vessel mass') return 'vessel mass';
  return where === 'vessel capacity' ? where : null;
}
