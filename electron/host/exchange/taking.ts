import type { Store } from '../store/store.ts';
import type { Output } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import type { GivenFile } from './files.ts';
import { type Bringing, type Here, type ListAsk, readList } from './list.ts';

/** What lists are read beside. */
export const hereOf = ({ workshop, versions }: Store): Here => ({
  workshop: workshop.read(),
  written: (id) => versions.head(id)?.written ?? null,
});

function takeFormula(
  store: Store,
  formula: NonNullable<Bringing['formula']>,
  how: { why: string; at: string; take: boolean },
) {
  const { is, was } = formula;
  if (was !== null && !how.take) return [];
  const { version } = store.versions.save(is, { why: how.why, at: how.at, asNew: true });
  return [was === null ? `${is.name} is a formula now.` : `${is.name} has version ${version} now.`];
}

/**
 * Takes a list into the workshop, all or nothing. What is here already stays, but for what `ask.take` names.
 * @param at now, RFC 3339
 * @throws HostTrouble while a row stops it; FormulaTrouble and StoreTrouble, with nothing taken
 */
export function takeList(store: Store, file: GivenFile, ask: ListAsk, at: string): Output<'bring-in.take'> {
  return store.together(() => {
    const { view, bringing } = readList(file, ask, hereOf(store));
    if (!view.ready)
      throw new HostTrouble(
        view.wrong?.what ?? view.remarks.find((one) => one.stops)?.what ?? 'The list brings nothing new.',
        file.name,
        'Nothing was taken. Look at the list again.',
      );
    const wanted = new Set(view.differs.flatMap((one) => (one.take ? [one.id] : [])));
    const why = `from the list ${file.name}`;
    const { workshop, stock } = store;
    const fresh = <T>(all: readonly { is: T; was: T | null }[]): T[] =>
      all.flatMap((one) => (one.was === null ? [one.is] : []));
    workshop.add({ materials: fresh(bringing.materials), lots: fresh(bringing.lots), formulas: [] });
    let renewed = 0;
    for (const { is, was } of bringing.materials)
      if (was !== null && wanted.has(`material ${is.key}`)) {
        workshop.putMaterial(is);
        renewed += 1;
      }
    for (const { is, was } of bringing.lots)
      if (was !== null && wanted.has(`lot ${is.code}`)) {
        workshop.putLot(is);
        renewed += 1;
        if (is.stock !== undefined && is.stock !== was.stock)
          stock.append({ lot: is.code, kind: 'stated', g: is.stock, who: '', why }, at);
      }
    const { formula } = bringing;
    const [materials, lots] = [fresh(bringing.materials).length, fresh(bringing.lots).length];
    return {
      done: [
        ...(materials > 0 ? [`${materials} ${materials === 1 ? 'material' : 'materials'} brought in.`] : []),
        ...(lots > 0 ? [`${lots} ${lots === 1 ? 'bottle' : 'bottles'} brought in.`] : []),
        ...(renewed > 0 ? [`${renewed} taken as the list tells it.`] : []),
        ...(formula === null
          ? []
          : takeFormula(store, formula, { why, at, take: wanted.has(`formula ${formula.is.id}`) })),
      ],
      formula: formula?.is.id ?? null,
    };
  });
}
