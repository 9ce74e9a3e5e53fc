import { type ListAsk, readList } from '../../../electron/host/exchange/list.ts';
import type { Workshop } from '../../../electron/host/store/workshop.ts';

/** What must come out of a list, as it is kept beside it in fixtures/spreadsheets. */
export function comesOut(
  file: { readonly name: string; readonly bytes: Uint8Array },
  ask: Omit<ListAsk, 'file'>,
  workshop: Workshop,
) {
  const { view, bringing } = readList(file, { ...ask, file: 'given' }, { workshop, written: () => null });
  return {
    encoding: view.encoding.value,
    delimiter: view.delimiter.value,
    sign: view.sign.value,
    header: view.header,
    columns: view.columns.map(({ heading, field, unit }) => [heading, field, unit].join(' | ')),
    remarks: view.remarks.map(
      ({ row, column, what, stops }) =>
        `row ${row}${column === null ? '' : `, column ${column + 1}`}${stops ? ', stops' : ''}: ${what}`,
    ),
    leftOut: view.leftOut.map(({ row, why }) => `row ${row}: ${why}`),
    summary: view.summary,
    differs: view.differs.map(({ id, what }) => `${id}: ${what.join('; ')}`),
    wrong: view.wrong?.what ?? null,
    ready: view.ready,
    materials: bringing.materials.map(({ is, was }) => {
      const { cautions: _, ...rest } = is;
      return was === null ? rest : `${is.key} is here`;
    }),
    lots: bringing.lots.map(({ is, was }) => (was === null ? is : `${is.code} is here`)),
    formula: bringing.formula?.is ?? null,
  };
}
