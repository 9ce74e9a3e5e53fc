import type { PourEvent, StoredEvent } from '../../core/pour/events.ts';
import type { Journal } from '../../electron/host/store/journal.ts';

/** A journal without a disk, for benches of which nothing is kept. */
export function memoryJournal(): Journal {
  const all = new Map<string, StoredEvent[]>();
  const write = (batch: string, at: string, events: readonly PourEvent[]): StoredEvent[] => {
    const known = all.get(batch) ?? [];
    const added = events.map((event, i) => ({
      batch,
      n: known.length + i + 1,
      at,
      event,
      prev: '',
      hash: '',
    }));
    all.set(batch, [...known, ...added]);
    return added;
  };
  return {
    begin: ({ id, at }, events) => write(id, at, events),
    append: (batch, at, events) => write(batch, at, events),
    succeed: (ended, next) => ({
      ended: write(ended.batch, ended.at, ended.events),
      begun: write(next.id, next.at, next.events),
    }),
    events: (batch) => all.get(batch) ?? [],
    trace: () => null,
    traced: () => [],
    batches: () => [],
  };
}
