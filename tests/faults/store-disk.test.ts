import { spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openJournal } from '../../electron/host/store/journal.ts';
import { MIGRATIONS } from '../../electron/host/store/schema.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { wholeBatch } from '../unit/record/batch.ts';
import { AT, fillStore, testFolder, troubleOf } from '../unit/store/given.ts';

let folder = testFolder();
beforeEach(() => {
  folder = testFolder();
});
afterEach(() => folder.remove());

const at = (name: string): string => join(folder.path, name);
const root = process.getuid?.() === 0;

describe('a full disk', () => {
  it('is said clearly, stores nothing of the step, and the next step is stored once there is room', () => {
    const db = new Database(at('x.sqlite'));
    for (const step of MIGRATIONS) db.exec(step);
    const journal = openJournal(db);
    const [started, ...rest] = wholeBatch;
    if (started === undefined) throw new Error('no events');
    journal.begin({ id: 'b', name: 'b', at: AT }, [started]);
    const pages = Number(db.pragma('page_count', { simple: true }));
    db.pragma(`max_page_count = ${pages}`);
    const many = Array.from({ length: 40 }, () => rest).flat();
    const told = troubleOf(() => journal.append('b', AT, many));
    expect(told.message).toBe('The disk is full: this was not stored.');
    expect(told.next).toContain('Free some room');
    expect(journal.events('b')).toHaveLength(1);
    db.pragma('max_page_count = 100000');
    journal.append('b', AT, rest);
    expect(journal.events('b')).toHaveLength(wholeBatch.length);
    db.close();
  });

  it('that is real is said in the same words', (context) => {
    const disk = at('disk');
    mkdirSync(disk);
    const mounted = root && spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=1m', 'tmpfs', disk]).status === 0;
    if (!mounted) {
      console.log(
        `not tried on a real full disk: ${root ? 'mount is refused here' : 'a small disk is mounted by root only'}`,
      );
      context.skip();
    }
    try {
      const store = openStore(join(disk, 'data'));
      fillStore(store);
      const told = troubleOf(() => {
        for (let i = 0; i < 10_000; i += 1)
          store.journal.append('torn', AT, [{ type: 'noticed', what: 'filling', detail: 'x'.repeat(4000) }]);
      });
      expect(told.message).toMatch(/^The disk (is full|did not do)/);
      expect(store.journal.events('whole')).toHaveLength(wholeBatch.length);
      expect(troubleOf(() => store.backup(join(disk, 'copy.sqlite'))).next).toContain('free some room');
      expect(readdirSync(disk).filter((name) => name.includes('copy'))).toEqual([]);
      store.close();
    } finally {
      spawnSync('umount', [disk]);
    }
  });
});

describe('a folder or file that cannot be written', () => {
  it('is said clearly for a folder', (context) => {
    const locked = at('locked');
    mkdirSync(locked);
    if (!root) {
      chmodSync(locked, 0o500);
      expect(troubleOf(() => openStore(locked)).message).toContain('cannot be written');
      return;
    }
    /* For root no mode forbids writing; a disk that is mounted read-only does. */
    const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'ro,size=1m', 'tmpfs', locked]).status === 0;
    if (!mounted) {
      console.log(
        'not tried on a read-only folder: the test runs as root, whom no mode forbids, and mount is refused',
      );
      context.skip();
    }
    try {
      const told = troubleOf(() => openStore(locked));
      expect(told.message).toContain('cannot be written');
      expect(told.next).toContain('--data');
    } finally {
      spawnSync('umount', [locked]);
    }
  });

  it('is said clearly for a place that a backup is to go to', () => {
    const store = openStore(at('data'));
    fillStore(store);
    writeFileSync(at('file'), '');
    const told = troubleOf(() => store.backup(join(at('file'), 'copy.sqlite')));
    expect(told.message).toContain('could not be written');
    expect(told.next).toContain('untouched');
    store.close();
  });
});
