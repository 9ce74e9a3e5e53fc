import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { strToU8, unzipSync, zipSync } from 'fflate';
import { describe, expect, it, onTestFinished } from 'vitest';
import { FILE_NAME, PRACTICE_FOLDER } from '../../electron/host/store/files.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { fillStore, testFolder } from '../unit/store/given.ts';
import { consoleRun, type Line } from './console-run.ts';

/** A folder with a database of two batches. */
function database(): string {
  const folder = testFolder();
  onTestFinished(() => folder.remove());
  const store = openStore(folder.path);
  fillStore(store);
  store.close();
  return folder.path;
}

async function said(
  args: readonly string[],
): Promise<{ code: number | string; lines: Line[]; words: string }> {
  const run = consoleRun(onTestFinished, args);
  const code = await run.ended;
  return { code, lines: run.lines, words: run.words() };
}

describe('the console on a database', { timeout: 120_000 }, () => {
  it('finds, recalls and amends', async () => {
    const dir = database();
    const found = await said(['find', 'rose', '--database', dir, '--deviation', 'corrected']);
    expect(found).toMatchObject({ code: 0, lines: [{ batch: 'whole', status: 'closed', total: '22.20' }] });
    const held = await said(['recall', 'C50', '--database', dir]);
    expect(held).toMatchObject({ code: 0, lines: [{ batch: 'whole', share: '0.2' }] });
    const amendment = ['--who', 'Ada', '--why', 'typed wrongly', '--text', 'The lid says cedar.'];
    const done = await said(['amend', '--database', dir, '--batch', 'whole', ...amendment]);
    expect(done).toMatchObject({ code: 0, lines: [{ batch: 'whole', event: 17 }] });
    const open = await said(['amend', '--database', dir, '--batch', 'torn', ...amendment]);
    expect(open.code).toBe(1);
    expect(open.words).toMatch(/has not ended[\s\S]*next: Close or abandon/);
    const nowhere = await said(['find', '--database', join(dir, 'none')]);
    expect(nowhere.code).toBe(2);
    expect(nowhere.words).toMatch(/no such folder[\s\S]*next: /);
  });

  it('backs Practice up beside the workshop, and brings both back at once', async () => {
    const dir = database();
    const learners = (): string[] => {
      const store = openStore(join(dir, PRACTICE_FOLDER));
      const names = store.learning.learners().map((one) => one.name);
      store.close();
      return names;
    };
    const learn = (name: string): void => {
      const store = openStore(join(dir, PRACTICE_FOLDER));
      store.learning.putLearner({ id: name, name, added: '2026-01-05T09:00:00.000Z' });
      store.close();
    };
    learn('Ilse');
    const copy = join(dir, 'copy.sqlite');
    const done = await said(['backup', '--database', dir, '--to', copy]);
    expect(done.code).toBe(0);
    expect(done.words).toContain('beside it. Learners: 1. Lessons done: 0.');
    learn('Jon');
    const back = await said(['restore', '--database', dir, '--from', copy]);
    expect(back.code).toBe(0);
    expect(back.words).toContain('Practice is back with it');
    expect(learners()).toEqual(['Ilse']);
  });

  it('verifies a database, and names the batch and event that was altered', async () => {
    const dir = database();
    expect(await said(['verify', '--database', dir])).toMatchObject({
      code: 0,
      lines: [{ ok: true, batches: 2, events: 18, altered: 0 }],
    });
    const db = new Database(join(dir, FILE_NAME));
    db.exec('DROP TRIGGER event_no_update');
    db.exec("UPDATE event SET body = replace(body, '2.20', '2.21') WHERE batch = 'whole' AND n = 4");
    db.close();
    const found = await said(['verify', '--database', dir]);
    expect(found.code).toBe(1);
    expect(found.lines[0]).toMatchObject({ batch: 'whole', event: 4 });
    expect(found.words).toContain('event 4 was altered');
  });

  it('writes a signed batch folder that verifies, and names what was changed in it', async () => {
    const dir = database();
    const out = join(dir, 'whole.zip');
    const made = await said([
      'document',
      '--database',
      dir,
      '--batch',
      'whole',
      '--kind',
      'folder',
      '--sign',
      '--out',
      out,
    ]);
    expect(made.code).toBe(0);
    const good = await said(['verify', out]);
    expect(good.code).toBe(0);
    expect(good.words).toContain('Signed by the key');
    const files = unzipSync(readFileSync(out));
    const table = new TextDecoder().decode(files['as-made.csv']).replace('15.54', '15.55');
    const bad = join(dir, 'bad.zip');
    writeFileSync(bad, zipSync({ ...files, 'as-made.csv': strToU8(table) }));
    const found = await said(['verify', bad]);
    expect(found.code).toBe(1);
    expect(found.words).toContain('bad.zip: as-made.csv');
    expect((await said(['verify'])).code).toBe(2);
  });

  it('backs up and restores', async () => {
    const dir = database();
    const copy = join(dir, 'copy.sqlite');
    expect(await said(['backup', '--database', dir, '--to', copy])).toMatchObject({
      code: 0,
      lines: [{ file: copy, batches: 2, events: 18 }],
    });
    writeFileSync(join(dir, FILE_NAME), 'not a database. '.repeat(100));
    const lost = await said(['find', '--database', dir]);
    expect(lost.code).toBe(2);
    expect(lost.words).toMatch(/damaged[\s\S]*next: Restore your last backup/);
    const back = await said(['restore', '--database', dir, '--from', copy]);
    expect(back).toMatchObject({ code: 0, lines: [{ batches: 2, events: 18 }] });
    expect((await said(['find', '--database', dir])).lines).toHaveLength(2);
    copyFileSync(copy, join(dir, 'short.sqlite'));
    writeFileSync(join(dir, 'short.sqlite'), readFileSync(copy).subarray(0, 9000));
    const refused = await said(['restore', '--database', dir, '--from', join(dir, 'short.sqlite')]);
    expect(refused.code).toBe(2);
    expect((await said(['find', '--database', dir])).lines).toHaveLength(2);
  });
});
