import { copyFileSync, existsSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { FILE_NAME, fileStamp, PARTS } from './files.ts';
import { summariseAll } from './journal.ts';
import { MIGRATIONS } from './schema.ts';
import { stateStocks } from './stock.ts';
import { StoreTrouble } from './trouble.ts';

const DAMAGED = /^pourwright\.damaged-(.+)\.sqlite$/;

type Row = Readonly<Record<string, unknown>>;

/** Reads rows until one cannot be read. */
function readable(
  db: Database.Database,
  sql: string,
  ...values: readonly string[]
): { rows: Row[]; whole: boolean } {
  const rows: Row[] = [];
  try {
    for (const row of db.prepare<unknown[], Row>(sql).iterate(...values)) rows.push(row);
    return { rows, whole: true };
  } catch {
    /* What lies behind a page that cannot be read is looked for from the other end, or by its key. */
    return { rows, whole: false };
  }
}

/** Rows of a table from both ends, as far as they can be read. */
function fromBothEnds(db: Database.Database, table: string, key: string): { rows: Row[]; whole: boolean } {
  const first = readable(db, `SELECT * FROM ${table} ORDER BY ${key}`);
  if (first.whole) return first;
  const last = readable(db, `SELECT * FROM ${table} ORDER BY ${key} DESC`);
  const keys = key.split(', ');
  const name = (row: Row): string => keys.map((one) => String(row[one])).join('\u0000');
  const there = new Set(first.rows.map(name));
  return { rows: [...first.rows, ...last.rows.filter((row) => !there.has(name(row)))], whole: false };
}

const TABLES = [
  ['setting', 'name'],
  ['material', 'key'],
  ['lot', 'code'],
  ['formula', 'id'],
  ['batch', 'id'],
  ['event', 'batch, n'],
  ['trace', 'batch, n'],
  ['packed_trace', 'batch, n'],
  ['stock_entry', 'n'],
  ['formula_version', 'formula, n'],
  ['formula_accord', 'formula, n, accord, accord_n'],
  ['formula_batch', 'batch'],
  ['trial', 'batch'],
  ['trial_note', 'n'],
  ['balance_profile', 'id'],
  ['balance_check', 'n'],
  ['learner', 'id'],
  ['class', 'id'],
  ['exercise', 'id'],
  ['attempt', 'n'],
] as const;
const OF_A_BATCH: readonly string[] = ['event', 'trace', 'packed_trace'];
/** Rows of these are only kept where their batch is. */
const BESIDE_A_BATCH: readonly string[] = ['formula_batch', 'trial', 'trial_note'];

/** Tables that the file has; all of them where that cannot be read. */
function tablesOf(db: Database.Database): (typeof TABLES)[number][] {
  const { rows, whole } = readable(db, "SELECT name FROM sqlite_master WHERE type = 'table'");
  const names = rows.map((row) => row.name);
  return TABLES.filter(([table]) => !whole || names.includes(table));
}

function put(db: Database.Database, table: string, rows: readonly Row[]): void {
  for (const row of rows) {
    const columns = Object.keys(row);
    db.prepare(
      `INSERT OR IGNORE INTO ${table} (${columns.join(', ')}) VALUES (${columns.map(() => '?').join(', ')})`,
    ).run(...Object.values(row));
  }
}

/** Batches whose own row could not be read, from the events that could. */
function withoutRow(batches: readonly Row[], events: readonly Row[]): Row[] {
  const known = new Set(batches.map((row) => row.id));
  const ids = new Set(events.map((row) => row.batch).filter((id) => !known.has(id)));
  return [...ids].map((id) => {
    const own = events.filter((row) => row.batch === id);
    const first = own.find((row) => row.n === 1);
    const ended = own.find((row) => row.type === 'closed' || row.type === 'abandoned');
    const name = /"formula":\{[^}]*?"name":"([^"]*)"/.exec(String(first?.body ?? ''))?.[1];
    return {
      id,
      name: name ?? 'name lost',
      started: String(own[0]?.at),
      status: String(ended?.type ?? 'open'),
    };
  });
}

/** What could be read of a damaged database. */
export interface Rescued {
  readonly batches: number;
  readonly events: number;
  /** Tables of which something could not be read. */
  readonly torn: readonly string[];
}

function rescue(from: string, to: string): Rescued {
  const read = new Map<string, Row[]>();
  const torn: string[] = [];
  const damaged = new Database(from);
  try {
    for (const [table, key] of tablesOf(damaged)) {
      let { rows, whole } = fromBothEnds(damaged, table, key);
      if (!whole) torn.push(table);
      if (!whole && OF_A_BATCH.includes(table))
        for (const { id } of read.get('batch') ?? [])
          rows = [
            ...rows,
            ...readable(damaged, `SELECT * FROM ${table} WHERE batch = ? ORDER BY n`, String(id)).rows,
          ];
      read.set(table, rows);
    }
  } finally {
    damaged.close();
  }
  const events = read.get('event') ?? [];
  read.set('batch', [...(read.get('batch') ?? []), ...withoutRow(read.get('batch') ?? [], events)]);
  const known = new Set((read.get('batch') ?? []).map((row) => row.id));
  for (const table of BESIDE_A_BATCH)
    read.set(
      table,
      (read.get(table) ?? []).filter((row) => known.has(row.batch)),
    );
  const db = new Database(to);
  try {
    db.transaction(() => {
      for (const step of MIGRATIONS) db.exec(step);
      for (const [table] of TABLES) put(db, table, read.get(table) ?? []);
      summariseAll(db);
      stateStocks(db, new Date().toISOString());
      db.pragma(`user_version = ${MIGRATIONS.length}`);
    })();
    const count = (table: string): number =>
      db.prepare<[], { n: number }>(`SELECT count(*) AS n FROM ${table}`).get()?.n ?? 0;
    return { batches: count('batch'), events: count('event'), torn };
  } finally {
    db.close();
  }
}

function tell(
  folder: string,
  why: string,
  stamp: string,
  found: Rescued | null,
  cause?: unknown,
): StoreTrouble {
  const damaged = join(folder, `pourwright.damaged-${stamp}.sqlite`);
  const rescued = join(folder, `pourwright.rescued-${stamp}.sqlite`);
  const what =
    found === null
      ? 'Nothing in it could be read.'
      : `${found.batches} batches with ${found.events} events could be read and are in ${rescued}${found.torn.length === 0 ? '' : `; not all could be read of: ${found.torn.join(', ')}`}.`;
  return new StoreTrouble(
    `The database was damaged: ${why}. It is set aside, untouched, as ${damaged}. ${what}`,
    join(folder, FILE_NAME),
    `Restore your last backup${found === null ? '' : ', or what could be read'}: npm run -s console -- restore --database "${folder}" --from FILE. To begin with an empty database, move the damaged file to another folder.`,
    cause,
  );
}

/**
 * Sets a damaged database aside under a dated name, as it is, and writes what can be read of it to a sound one beside
 * it. @returns the trouble to be told
 */
export function setAside(folder: string, why: string, cause?: unknown): StoreTrouble {
  const file = join(folder, FILE_NAME);
  const stamp = fileStamp(folder);
  const damaged = join(folder, `pourwright.damaged-${stamp}.sqlite`);
  const rescued = join(folder, `pourwright.rescued-${stamp}.sqlite`);
  const copy = join(folder, `.pourwright.reading-${stamp}.part`);
  for (const part of PARTS) if (existsSync(file + part)) renameSync(file + part, damaged + part);
  let found: Rescued | null = null;
  try {
    for (const part of PARTS) if (existsSync(damaged + part)) copyFileSync(damaged + part, copy + part);
    found = rescue(copy, rescued);
  } catch (trouble) {
    rmSync(rescued, { force: true });
    return tell(folder, why, stamp, null, trouble);
  } finally {
    for (const part of PARTS) rmSync(copy + part, { force: true });
  }
  if (found.events > 0) return tell(folder, why, stamp, found, cause);
  rmSync(rescued, { force: true });
  return tell(folder, why, stamp, null, cause);
}

/**
 * A damaged database was set aside and nothing has taken its place yet: the program does not begin an empty one by
 * itself. @throws StoreTrouble that says what there is
 */
export function refuseAfterDamage(folder: string): void {
  const names = readdirSync(folder);
  if (names.includes(FILE_NAME)) return;
  const damaged = names.filter((name) => DAMAGED.test(name)).sort();
  const last = damaged.at(-1);
  if (last === undefined) return;
  const rescued = last.replace('damaged', 'rescued');
  const there = names.includes(rescued);
  throw new StoreTrouble(
    `There is no database here, only a damaged one that was set aside: ${last}.${there ? ` What could be read of it is in ${rescued}.` : ''}`,
    folder,
    `Restore your last backup${there ? ', or what could be read' : ''}: npm run -s console -- restore --database "${folder}" --from FILE. To begin with an empty database, move ${last} to another folder.`,
  );
}
