import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { audit } from '../../../electron/host/store/audit.ts';
import { FILE_NAME } from '../../../electron/host/store/files.ts';
import { openStore } from '../../../electron/host/store/store.ts';
import { fillStore, testFolder, troubleOf } from './given.ts';

let folder = testFolder();
let file = '';
beforeEach(() => {
  folder = testFolder();
  const store = openStore(folder.path);
  fillStore(store);
  store.close();
  file = join(folder.path, FILE_NAME);
});
afterEach(() => folder.remove());

/** Somebody with the right tools takes the triggers away and writes. */
function tamper(sql: string): void {
  const db = new Database(file);
  db.exec('DROP TRIGGER event_no_update; DROP TRIGGER event_no_delete; DROP TRIGGER batch_no_delete');
  db.pragma('foreign_keys = OFF');
  db.exec(sql);
  db.close();
}

const found = () => audit(file).problems;

describe('an audit of the database', () => {
  it('finds nothing in one that is as it was written', () => {
    expect(audit(file)).toEqual({ batches: 2, events: 18, problems: [] });
  });

  it('reads a file of the first version without changing it', () => {
    const kept = join(import.meta.dirname, '../../../fixtures/stores/v1.sqlite');
    const before = readFileSync(kept);
    expect(audit(kept)).toEqual({ batches: 2, events: 18, problems: [] });
    expect(readFileSync(kept).equals(before)).toBe(true);
  });

  it.each([
    [
      'edited',
      "UPDATE event SET body = replace(body, '2.20', '2.21') WHERE batch = 'whole' AND n = 4",
      4,
      'event 4 was altered',
    ],
    [
      'its time edited',
      "UPDATE event SET at = '2026-11-25T09:00:00.001Z' WHERE batch = 'whole' AND n = 5",
      5,
      'event 5 was altered',
    ],
    [
      'made unreadable',
      "UPDATE event SET body = substr(body, 3) WHERE batch = 'whole' AND n = 6",
      6,
      'not JSON any more',
    ],
    [
      'listed as another',
      "UPDATE event SET type = 'voided' WHERE batch = 'whole' AND n = 6",
      6,
      'listed as "voided"',
    ],
    [
      'deleted',
      "DELETE FROM event WHERE batch = 'whole' AND n = 9",
      9,
      'event 10 stands where event 9 should be',
    ],
    [
      'truncated',
      "DELETE FROM event WHERE batch = 'whole' AND n >= 15",
      15,
      'events 15 to 16 are missing at the end',
    ],
    [
      'inserted',
      `UPDATE event SET n = n + 1000 WHERE batch = 'whole' AND n >= 8;
       UPDATE event SET n = n - 999 WHERE batch = 'whole' AND n >= 1000;
       INSERT INTO event SELECT batch, 8, at, type, body, prev, hash FROM event WHERE batch = 'whole' AND n = 6`,
      8,
      'event 8 was altered',
    ],
    [
      'added at the end',
      "INSERT INTO event SELECT batch, 17, at, type, body, hash, hash FROM event WHERE batch = 'whole' AND n = 16",
      17,
      'event 17',
    ],
    [
      'moved',
      `UPDATE event SET n = 1000 WHERE batch = 'whole' AND n = 6;
       UPDATE event SET n = 6 WHERE batch = 'whole' AND n = 7;
       UPDATE event SET n = 7 WHERE batch = 'whole' AND n = 1000`,
      6,
      'event 6 was altered',
    ],
  ])('names an event that was %s', (_, sql, n, what) => {
    tamper(sql);
    const [first, ...others] = found();
    expect(first).toMatchObject({ batch: 'whole', name: 'Rose and cedar', event: n });
    expect(first?.what).toContain(what);
    expect(others).toEqual([]);
  });

  it('names a batch whose events are gone, or whose end is told otherwise', () => {
    tamper(
      "DELETE FROM event WHERE batch = 'torn'; UPDATE batch SET status = 'abandoned' WHERE id = 'whole'",
    );
    expect(found().map(({ batch, what }) => [batch, what])).toEqual([
      ['whole', 'it is listed as abandoned; its events say closed'],
      ['torn', 'events 1 to 2 are missing at the end'],
    ]);
  });

  it('says that a batch was taken out while its events are still there', () => {
    tamper("DELETE FROM batch WHERE id = 'torn'");
    expect(troubleOf(() => audit(file)).message).toContain('belong to nothing');
  });
});
