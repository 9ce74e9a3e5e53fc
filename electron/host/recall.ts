import { decimal, plain } from '../../core/quantity/decimal.ts';
import { type LotMade, type LotUse, recallShares } from '../../core/record/summary.ts';
import type { BatchRow } from './store/catalog.ts';
import type { Store } from './store/store.ts';
import { triedSummary } from './store/summaries.ts';
import { HostTrouble } from './trouble.ts';

/** A batch that holds a lot. */
export interface RecallRow {
  readonly batch: string;
  readonly name: string;
  readonly started: string;
  readonly status: 'closed' | 'interrupted' | 'abandoned';
  /** Mass fraction of the batch that comes from the lot, as decimal text. */
  readonly share: string;
  /** The bottles of this batch that brought it in. */
  readonly through: readonly string[];
  /** The bottle on the shelf that this batch became; null when it became none. */
  readonly became: string | null;
}

export interface Recall {
  readonly rows: readonly RecallRow[];
  /** Batches whose events cannot be read, so that nobody knows what is in them. */
  readonly unread: readonly { readonly id: string; readonly name: string }[];
}

/** What open batches were poured from, as their events have it now: they are summed up only when they end. */
function openUses({ catalog, journal }: Store): { uses: LotUse[]; made: LotMade[]; unread: BatchRow[] } {
  const uses: LotUse[] = [];
  const made: LotMade[] = [];
  const unread: BatchRow[] = [];
  for (const row of catalog.open()) {
    const { summary } = triedSummary(journal.events(row.id));
    if (summary === null) unread.push(row);
    for (const { lot, share, madeBy } of summary?.lots ?? []) {
      uses.push({ batch: row.id, lot, share });
      if (madeBy !== null) made.push({ lot, batch: madeBy });
    }
  }
  return { uses, made, unread: unread.filter((row) => !catalog.unread().some((one) => one.id === row.id)) };
}

/**
 * Every batch that holds a lot, directly or through the dilutions made of it, with its share; the latest first.
 * @throws HostTrouble when no batch and no bottle has this code
 */
export function recallOf(store: Store, lot: string): Recall {
  const { catalog, workshop } = store;
  const shelf = workshop.read().lots;
  const open = openUses(store);
  const uses: LotUse[] = [];
  const made: LotMade[] = [...open.made];
  const batches = new Set<string>();
  const waiting = [lot];
  const seen = new Set(waiting);
  for (let code = waiting.pop(); code !== undefined; code = waiting.pop()) {
    const holders = [
      ...catalog.usesOf(code).map((use) => use.batch),
      ...open.uses.filter((use) => use.lot === code).map((use) => use.batch),
    ];
    for (const batch of holders) {
      if (batches.has(batch)) continue;
      batches.add(batch);
      const own = [...catalog.lotsOf(batch), ...open.uses.filter((use) => use.batch === batch)];
      uses.push(...own.map((use) => ({ batch, lot: use.lot, share: use.share })));
      const became = new Set([
        ...catalog.lotsMadeBy(batch),
        ...shelf.filter((one) => one.madeBy === batch).map((one) => one.code),
        ...open.made.filter((one) => one.batch === batch).map((one) => one.lot),
      ]);
      for (const next of became) {
        made.push({ lot: next, batch });
        if (!seen.has(next)) waiting.push(next);
        seen.add(next);
      }
    }
  }
  if (batches.size === 0 && !shelf.some((one) => one.code === lot))
    throw new HostTrouble(
      `No bottle and no batch has the lot "${lot}".`,
      'lot',
      'Check the code on the label.',
    );
  return { rows: rowsOf(store, lot, uses, made), unread: [...open.unread, ...catalog.unread()] };
}

function rowsOf(
  { catalog }: Store,
  lot: string,
  uses: readonly LotUse[],
  made: readonly LotMade[],
): RecallRow[] {
  const shares = recallShares(lot, uses, made);
  const became = new Map(made.map((one) => [one.batch, one.lot]));
  const carriers = new Set([lot, ...made.filter((one) => shares.has(one.batch)).map((one) => one.lot)]);
  const through = Map.groupBy(uses, (use) => use.batch);
  return [...shares]
    .flatMap(([batch, share]) => {
      const row = catalog.row(batch);
      if (row === null) return [];
      const own = through.get(batch) ?? [];
      return [
        {
          batch,
          name: row.name,
          started: row.started,
          status: row.status === 'open' ? ('interrupted' as const) : row.status,
          share: plain(share.toSignificantDigits(8)),
          through: own
            .filter((use) => carriers.has(use.lot) && decimal(use.share).gt(0))
            .map((use) => use.lot),
          became: became.get(batch) ?? null,
        },
      ];
    })
    .sort((a, b) =>
      a.started === b.started ? (a.batch < b.batch ? -1 : 1) : a.started < b.started ? 1 : -1,
    );
}
