import { copyFileSync, existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkFile } from '../../../electron/host/store/backup.ts';
import { FILE_NAME } from '../../../electron/host/store/files.ts';
import { prepareRestore } from '../../../electron/host/store/restore.ts';
import { MIGRATIONS } from '../../../electron/host/store/schema.ts';
import { openStore } from '../../../electron/host/store/store.ts';
import { fillStore, TRACE, testFolder, troubleOf } from './given.ts';

let folder = testFolder();
beforeEach(() => {
  folder = testFolder();
});
afterEach(() => folder.remove());

const at = (name: string): string => join(folder.path, name);
const KEPT = join(import.meta.dirname, '../../../fixtures/stores');

function filled(): void {
  const store = openStore(folder.path);
  fillStore(store);
  store.close();
}

describe('a database of every released version', () => {
  it('is kept for each of them but the present one', () => {
    const kept = readdirSync(KEPT).filter((name) => name.endsWith('.sqlite'));
    for (let version = 1; version < MIGRATIONS.length; version += 1)
      expect(kept).toContain(`v${version}.sqlite`);
  });

  it.each(readdirSync(KEPT).filter((name) => name.endsWith('.sqlite')))(
    '%s opens and reads whole',
    (name) => {
      copyFileSync(join(KEPT, name), at(FILE_NAME));
      const store = openStore(folder.path);
      expect(store.journal.batches().map((row) => [row.id, row.status])).toEqual([
        ['torn', 'open'],
        ['whole', 'closed'],
      ]);
      expect(store.journal.events('whole')).toHaveLength(16);
      expect(store.journal.trace('whole', 4)).toEqual(TRACE);
      expect(store.journal.traced('whole')).toEqual([4]);
      expect(store.catalog.find({ words: 'rose 10', limit: 10 }).rows.map((row) => row.id)).toEqual([
        'whole',
      ]);
      expect(store.workshop.setting('remark')).toBe('kept');
      store.close();
      const before = at(`pourwright.before-${MIGRATIONS.length}.sqlite`);
      if (name !== `v${MIGRATIONS.length}.sqlite`)
        expect(checkFile(before)).toMatchObject({
          version: Number(name.slice(1, -7)),
          batches: 2,
          events: 18,
        });
    },
  );
});

describe('a backup', () => {
  it('holds what the database holds and can be restored', () => {
    const store = openStore(folder.path);
    fillStore(store);
    const counts = store.backup(at('copy.sqlite'));
    expect(counts).toMatchObject({ batches: 2, events: 18, traces: 1, materials: 5, lots: 3, formulas: 1 });
    expect(checkFile(at('copy.sqlite'))).toEqual(counts);
    store.journal.begin({ id: 'later', name: 'later', at: '2026-11-26T09:00:00.000Z' }, []);
    store.close();

    prepareRestore(folder.path, at('copy.sqlite'));
    const again = openStore(folder.path);
    expect(again.journal.batches().map((row) => row.id)).toEqual(['torn', 'whole']);
    again.close();
    const aside = readdirSync(folder.path).filter((name) => name.includes('before-restore'));
    expect(aside).toHaveLength(1);
    expect(checkFile(at(aside[0] ?? '')).batches).toBe(3);
  });

  it('is refused as a restore when it is cut short, changed, newer or no database', () => {
    filled();
    const store = openStore(folder.path);
    store.backup(at('copy.sqlite'));
    store.close();
    const bytes = readFileSync(at('copy.sqlite'));
    writeFileSync(at('short.sqlite'), bytes.subarray(0, bytes.length / 2));
    expect(troubleOf(() => prepareRestore(folder.path, at('short.sqlite'))).next).toContain('another backup');
    const torn = Buffer.from(bytes);
    torn.fill(0xff, 8192, 9000);
    writeFileSync(at('torn.sqlite'), torn);
    expect(troubleOf(() => prepareRestore(folder.path, at('torn.sqlite'))).message).toMatch(
      /damaged|no sound/,
    );
    writeFileSync(at('letter.sqlite'), 'a letter. '.repeat(200));
    expect(troubleOf(() => prepareRestore(folder.path, at('letter.sqlite'))).message).toContain(
      'no sound database',
    );
    const newer = new Database(at('copy.sqlite'));
    newer.pragma('user_version = 999');
    newer.close();
    expect(troubleOf(() => prepareRestore(folder.path, at('copy.sqlite'))).message).toContain('newer');
    expect(troubleOf(() => prepareRestore(folder.path, at('none.sqlite'))).message).toContain('no such file');
    expect(readdirSync(folder.path).filter((name) => name.includes('to-restore'))).toEqual([]);
  });

  it('waits while another program has the database open', () => {
    const store = openStore(folder.path);
    fillStore(store);
    store.backup(at('copy.sqlite'));
    prepareRestore(folder.path, at('copy.sqlite'));
    expect(troubleOf(() => openStore(folder.path)).message).toContain('Another Pourwright');
    store.close();
    openStore(folder.path).close();
    expect(existsSync(at('pourwright.to-restore.sqlite'))).toBe(false);
  });
});

describe('a damaged database', () => {
  /** Overwrites whole pages in the middle of the file. */
  function damage(from: number, to: number): void {
    const bytes = readFileSync(at(FILE_NAME));
    bytes.fill(0x5a, from, to);
    writeFileSync(at(FILE_NAME), bytes);
  }

  it('is set aside untouched, what could be read lies beside it, and nothing empty takes its place', () => {
    filled();
    const size = readFileSync(at(FILE_NAME)).length;
    damage(Math.floor(size / 4096 / 3) * 4096, Math.floor(size / 4096 / 3) * 4096 + 8192);
    const bytes = readFileSync(at(FILE_NAME));
    const told = troubleOf(() => openStore(folder.path));
    expect(told.message).toContain('damaged');
    expect(told.next).toContain('restore --database');
    const names = readdirSync(folder.path);
    const damaged =
      names.find((name) => name.startsWith('pourwright.damaged-') && name.endsWith('.sqlite')) ?? '';
    expect(readFileSync(at(damaged)).equals(bytes)).toBe(true);
    expect(names).not.toContain(FILE_NAME);
    expect(names.filter((name) => name.endsWith('.part'))).toEqual([]);
    expect(troubleOf(() => openStore(folder.path)).message).toContain('set aside');
  });

  it('gives back every event when only an index or a trace was hit', () => {
    filled();
    const db = new Database(at(FILE_NAME));
    const page = db.prepare("SELECT rootpage FROM sqlite_schema WHERE name = 'batch_started'").pluck().get();
    db.pragma('wal_checkpoint(TRUNCATE)');
    db.close();
    damage((Number(page) - 1) * 4096, Number(page) * 4096);
    const told = troubleOf(() => openStore(folder.path));
    expect(told.message).toContain('2 batches with 18 events');
    const rescued = readdirSync(folder.path).find((name) => name.startsWith('pourwright.rescued-')) ?? '';
    prepareRestore(folder.path, at(rescued));
    const store = openStore(folder.path);
    expect(store.journal.events('whole')).toHaveLength(16);
    expect(store.journal.trace('whole', 4)).toEqual(TRACE);
    expect(store.catalog.find({ words: 'rose', limit: 10 }).rows).toHaveLength(2);
    store.close();
  });

  it('that is none at all is kept too', () => {
    const letter = 'this is a letter, not a database, and it is longer than a header. '.repeat(20);
    writeFileSync(at(FILE_NAME), letter);
    expect(troubleOf(() => openStore(folder.path)).message).toContain('Nothing in it could be read');
    const kept = readdirSync(folder.path).find((name) => name.startsWith('pourwright.damaged-')) ?? '';
    expect(readFileSync(at(kept), 'utf8')).toBe(letter);
  });
});
