import { copyFileSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { FILE_NAME } from '../../electron/host/store/files.ts';
import { prepareRestore } from '../../electron/host/store/restore.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { StoreTrouble } from '../../electron/host/store/trouble.ts';
import { fillStore, testFolder } from '../unit/store/given.ts';

let folder = testFolder();
let sound = testFolder();
beforeEach(() => {
  folder = testFolder();
  sound = testFolder();
});
afterEach(() => {
  folder.remove();
  sound.remove();
});

/** Numbers that repeat from run to run. */
function* numbers(seed: number): Generator<number, never> {
  let state = seed;
  for (;;) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    yield state / 2 ** 32;
  }
}

describe('a database file with a torn place anywhere', () => {
  it('opens or is told with its next step, and its bytes are always kept', () => {
    const store = openStore(sound.path);
    fillStore(store);
    store.close();
    const bytes = readFileSync(join(sound.path, FILE_NAME));
    const random = numbers(7);
    let told = 0;
    for (let i = 0; i < 60; i += 1) {
      const torn = Buffer.from(bytes);
      const from = Math.floor(random.next().value * torn.length);
      const length = 1 + Math.floor(random.next().value * 9000);
      torn.fill(Math.floor(random.next().value * 256), from, Math.min(torn.length, from + length));
      const each = testFolder();
      writeFileSync(join(each.path, FILE_NAME), torn);
      try {
        openStore(each.path).close();
      } catch (cause) {
        expect(cause).toBeInstanceOf(StoreTrouble);
        if (!(cause instanceof StoreTrouble)) throw cause;
        told += 1;
        expect(cause.next.length).toBeGreaterThan(20);
        const kept = /as (\S+damaged\S+sqlite)/.exec(cause.message)?.[1] ?? join(each.path, FILE_NAME);
        expect(readFileSync(kept).equals(torn)).toBe(true);
      }
      each.remove();
    }
    console.log(
      `${told} of 60 torn files were told; the others were torn where nothing was kept, or within a text`,
    );
    expect(told).toBeGreaterThan(20);
  });

  it('cut short at any length is told, and what could be read is beside it', () => {
    const store = openStore(sound.path);
    fillStore(store);
    store.close();
    const bytes = readFileSync(join(sound.path, FILE_NAME));
    for (let pages = 1; pages * 4096 < bytes.length; pages += 6) {
      const each = testFolder();
      writeFileSync(join(each.path, FILE_NAME), bytes.subarray(0, pages * 4096));
      expect(() => openStore(each.path)).toThrow(StoreTrouble);
      each.remove();
    }
    copyFileSync(join(sound.path, FILE_NAME), join(folder.path, FILE_NAME));
    openStore(folder.path).close();
  });
});

describe('a restore that was cut off', () => {
  it('is finished at the next start, wherever it was cut off', () => {
    const store = openStore(folder.path);
    fillStore(store);
    store.backup(join(folder.path, 'copy.sqlite'));
    store.close();
    prepareRestore(folder.path, join(folder.path, 'copy.sqlite'));
    /* The database was set aside, and the program ended before the backup took its place. */
    renameSync(join(folder.path, FILE_NAME), join(folder.path, 'pourwright.before-restore-x.sqlite'));
    const again = openStore(folder.path);
    expect(again.journal.batches()).toHaveLength(2);
    again.close();
  });

  it('leaves no half copy in the place of the database', () => {
    const store = openStore(folder.path);
    fillStore(store);
    store.close();
    /* The copy was under way when the program ended. */
    writeFileSync(join(folder.path, '.pourwright.to-restore.sqlite.1.part'), 'half');
    const again = openStore(folder.path);
    expect(again.journal.events('whole')).toHaveLength(16);
    again.close();
  });
});
