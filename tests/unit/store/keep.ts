import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { FILE_NAME } from '../../../electron/host/store/files.ts';
import { MIGRATIONS } from '../../../electron/host/store/schema.ts';
import { openStore } from '../../../electron/host/store/store.ts';
import { fillStore } from './given.ts';

/**
 * Keeps a database of the present schema version in fixtures/stores, to be opened by every later program. Run once for
 * each version, before it is released; SQLite refuses to write over a kept one.
 */
const folder = mkdtempSync(join(tmpdir(), 'pourwright-kept-'));
const store = openStore(folder);
fillStore(store);
store.close();
const db = new Database(join(folder, FILE_NAME));
db.pragma('journal_mode = DELETE');
db.prepare('VACUUM INTO ?').run(
  join(import.meta.dirname, '../../../fixtures/stores', `v${MIGRATIONS.length}.sqlite`),
);
db.close();
rmSync(folder, { recursive: true });
