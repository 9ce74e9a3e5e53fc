import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import type { PourEvent } from '../../core/pour/events.ts';
import { compare } from '../../core/record/compare.ts';
import { recallOf } from '../../electron/host/recall.ts';
import { recordOf, recordView } from '../../electron/host/record-view.ts';
import { FILE_NAME } from '../../electron/host/store/files.ts';
import { openJournal } from '../../electron/host/store/journal.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { facts, wholeBatch } from '../unit/record/batch.ts';
import { measured } from './measured.ts';

/**
 * Measures list, search and open among many batches, in ms: the first run, which also loads and compiles, then median
 * and slowest of the others. `node tests/bench/store.ts 5000` takes another number of batches.
 */
const BATCHES = Number(process.argv[2] ?? 100_000);

const NAMES = [
  'Rose and cedar',
  'Lavender trial',
  'Summer rain',
  'Пион и мята',
  'Vetiver study',
  'Été à Grasse',
];
const OPERATORS = ['Ada', 'Bea', 'Cid', 'Dörte', 'Евгения'];

/** The whole batch of the tests under another name, by another hand, from other bottles. */
function eventsOf(i: number): PourEvent[] {
  const name = `${NAMES[i % NAMES.length]} ${i % 997}`;
  const code = (lot: string): string => (lot === 'E96' ? `E96-${i % 50}` : `${lot}-${i % 2000}`);
  const text = JSON.stringify(wholeBatch)
    .replaceAll(/"(R10|C50|E96)"/g, (_, lot: string) => `"${code(lot)}"`)
    .replaceAll(`"${facts.formula.name}"`, JSON.stringify(name))
    .replaceAll('"f1"', `"f${i % 300}"`)
    .replaceAll('"tester"', JSON.stringify(OPERATORS[i % OPERATORS.length]));
  const made = i >= 2000 && i % 10 === 0;
  const own = made ? text.replaceAll(`"R10-${i % 2000}"`, `"D-${i % 2000}"`) : text;
  const events = JSON.parse(own) as PourEvent[];
  const [started] = events;
  /* Every tenth batch is made from a bottle that an earlier batch became. */
  if (made && started?.type === 'started')
    return [
      {
        ...started,
        lots: started.lots.map((lot, j) => (j === 0 ? { ...lot, madeBy: `batch-${i % 2000}` } : lot)),
      },
      ...events.slice(1),
    ];
  return events;
}

function fill(folder: string): void {
  openStore(folder).close();
  const db = new Database(join(folder, FILE_NAME));
  db.pragma('synchronous = OFF');
  const journal = openJournal(db);
  const start = performance.now();
  const first = Date.parse('2016-01-01T08:00:00.000Z');
  for (let from = 0; from < BATCHES; from += 5000)
    db.transaction(() => {
      for (let i = from; i < Math.min(BATCHES, from + 5000); i += 1) {
        const at = new Date(first + i * 3_000_000).toISOString();
        journal.begin({ id: `batch-${i}`, name: `${NAMES[i % NAMES.length]} ${i % 997}`, at }, eventsOf(i));
      }
    })();
  db.close();
  console.log(
    `${BATCHES} batches written with their summaries in ${((performance.now() - start) / 1000).toFixed(0)} s`,
  );
}

const folder = mkdtempSync(join(tmpdir(), 'pourwright-bench-'));
try {
  console.log(`Node ${process.versions.node}, ${cpus().length} x ${cpus()[0]?.model ?? 'unknown'}`);
  fill(folder);
  const opening = performance.now();
  const store = openStore(folder);
  const { catalog, journal } = store;
  const megabytes = (statSync(join(folder, FILE_NAME)).size / 1e6).toFixed(0);
  console.log(`database of ${megabytes} MB opened in ${(performance.now() - opening).toFixed(0)} ms`);
  const limit = 100;
  const find = (name: string, query: (i: number) => Parameters<typeof catalog.find>[0]): void => {
    const { rows, more } = catalog.find(query(0));
    measured(`${name} [${rows.length}${more ? ' and more' : ''}]`, (i) => catalog.find(query(i)));
  };
  find('list, first page', () => ({ limit }));
  find('list, a page in the middle', (i) => ({ limit, after: (BATCHES >> 1) - i }));
  find('list, of two months', (i) => ({
    limit,
    from: `20${20 + (i % 4)}-03-01`,
    to: `20${20 + (i % 4)}-04-30`,
  }));
  find('search, a name most batches do not have', (i) => ({ limit, words: `lavender ${100 + i}` }));
  find('search, a name a sixth of all has', () => ({ limit, in: { name: 'summer ra' } }));
  find('search, a material all have', () => ({ limit, in: { material: 'cedar' } }));
  find('search, one lot', (i) => ({ limit, in: { lot: `R10-${500 + i}` } }));
  find('search, operator and day', () => ({
    limit,
    in: { operator: 'евг' },
    from: '2020-01-01',
    to: '2020-01-31',
  }));
  find('search, a deviation all have', () => ({ limit, in: { deviation: 'voided' } }));
  find('search, a deviation of 50 % that none has', () => ({ limit, worst: 50 }));
  find('search, interrupted', () => ({ limit, status: 'open' }));
  find('search, words in an old month', () => ({
    limit,
    words: 'summer',
    from: '2016-02-01',
    to: '2016-02-28',
  }));
  find('search, one letter', () => ({ limit, words: 'r' }));
  measured('open one record, all recomputed and verified', (i) =>
    recordView(store, `batch-${(i * 3907) % BATCHES}`),
  );
  measured('two batches side by side', (i) =>
    compare(
      recordOf(journal, `batch-${(i * 3907) % BATCHES}`),
      recordOf(journal, `batch-${(i * 7919 + 1) % BATCHES}`),
    ),
  );
  measured('strength of one formula over time', (i) => catalog.strengths(`f${i}`));
  measured('recall of one lot, through dilutions', (i) => recallOf(store, `C50-${i}`));
  measured('interrupted batches at the start', () => catalog.open());
  measured('events of one batch', (i) => journal.events(`batch-${(i * 7919) % BATCHES}`));
  store.close();
} finally {
  rmSync(folder, { recursive: true, force: true });
}
