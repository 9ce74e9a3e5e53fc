import { cpSync, existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';

const FILE = 'pourwright.sqlite';
const LOG = `${FILE}-wal`;

/** Every row of the workshop in a data folder, as it lies on the disk at this moment; the program may be open on it. */
export function workshopRows(folder: string): string {
  const copy = mkdtempSync(join(tmpdir(), 'pourwright-rows-'));
  for (const name of [FILE, LOG].filter((one) => existsSync(join(folder, one))))
    cpSync(join(folder, name), join(copy, name));
  const db = new Database(join(copy, FILE));
  try {
    const tables = db
      .prepare<[], { name: string }>(
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name NOT LIKE 'batch_words%' ORDER BY name",
      )
      .all();
    return JSON.stringify(tables.map(({ name }) => [name, db.prepare(`SELECT * FROM ${name}`).all()]));
  } finally {
    db.close();
    rmSync(copy, { recursive: true, force: true });
  }
}
