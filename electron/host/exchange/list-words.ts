import { canonicalJson } from '../../../core/record/canonical.ts';
import type { Output } from '../table.ts';
import type { Bringing } from './list.ts';
import type { Brought } from './shelf-list.ts';

type Difference = Output<'bring-in.read'>['differs'][number];

const same = (a: unknown, b: unknown): boolean =>
  canonicalJson({ of: a ?? null }) === canonicalJson({ of: b ?? null });

const SAYS: Readonly<Record<string, string>> = {
  bestBefore: 'best before',
  otherNames: 'other names',
  supplierLot: "supplier's lot",
  cas: 'CAS number',
  madeBy: 'made by batch',
  shelfLife: 'shelf life',
};

function shown(value: unknown): string {
  if (value === undefined || value === null || value === '') return 'nothing';
  if (typeof value === 'object')
    return Array.isArray(value) ? value.map(shown).join('; ') : canonicalJson(value);
  return String(value);
}

/** In what two things of the same identity differ, in words: "price: 0.29 here, 0.31 in the list". */
export function differenceWords(was: object, is: object, there = 'in the list'): string[] {
  const before = was as Record<string, unknown>;
  const now = is as Record<string, unknown>;
  return [...new Set([...Object.keys(before), ...Object.keys(now)])]
    .filter((field) => !same(before[field], now[field]))
    .map((field) =>
      field === 'lines'
        ? 'its lines'
        : `${SAYS[field] ?? field}: ${shown(before[field])} here, ${shown(now[field])} ${there}`,
    );
}

const differing = <T extends object>(all: readonly Brought<T>[]) =>
  all.flatMap(({ is, was }) => (was !== null && !same(was, is) ? [{ is, was }] : []));

/** What is here already and told otherwise in a list; nothing of it is taken unless its id is named. */
export function differencesOf({ materials, lots, formula }: Bringing, take: readonly string[]): Difference[] {
  const of = (id: string, name: string, was: object, is: object): Difference => ({
    id,
    name,
    what: differenceWords(was, is),
    take: take.includes(id),
  });
  return [
    ...differing(materials).map(({ is, was }) => of(`material ${is.key}`, is.name, was, is)),
    ...differing(lots).map(({ is, was }) => of(`lot ${is.code}`, `${is.name}, ${is.code}`, was, is)),
    ...differing(formula === null ? [] : [formula]).map(({ is, was }) =>
      of(`formula ${is.id}`, is.name, was, is),
    ),
  ];
}

function counted<T extends object>(all: readonly Brought<T>[], one: string, many: string): string[] {
  if (all.length === 0) return [];
  const fresh = all.filter((each) => each.was === null).length;
  const differ = differing(all).length;
  const kept = all.length - fresh - differ;
  const parts = [
    ...(fresh > 0 ? [`${fresh} ${fresh === 1 ? one : many} new`] : []),
    ...(kept > 0 ? [`${kept} the same${fresh > 0 ? '' : ` ${kept === 1 ? one : many}`}`] : []),
    ...(differ > 0 ? [`${differ} ${differ === 1 ? 'differs' : 'differ'}`] : []),
  ];
  return [`${parts.join(', ')}.`];
}

/** What would come of a list, in sentences. */
export function summaryOf({ materials, lots, formula }: Bringing, sum: string | null): string[] {
  const lines = formula?.is.lines.length ?? 0;
  return [
    ...counted(materials, 'material', 'materials'),
    ...counted(lots, 'bottle', 'bottles'),
    ...(sum === null || sum === '' ? [] : [`The lines come to ${sum}.`]),
    ...(formula === null ? [] : [`${formula.is.name}: ${lines} lines, ${formula.is.batch} g.`]),
  ];
}
