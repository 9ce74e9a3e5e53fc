import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { PourEvent } from '../../../core/pour/events.ts';
import { FILE_NAME } from '../../../electron/host/store/files.ts';
import { openStore } from '../../../electron/host/store/store.ts';
import { StoreTrouble } from '../../../electron/host/store/trouble.ts';
import { facts, rest } from '../pour/given.ts';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-store-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const started: PourEvent = { type: 'started', ...facts };
const vessel: PourEvent = { type: 'vessel-weighed', gross: '50.00', settled: rest('50.00') };
const AT = '2026-11-25T09:00:00.000Z';

const trouble = (act: () => unknown): StoreTrouble => {
  try {
    act();
  } catch (cause) {
    if (cause instanceof StoreTrouble) return cause;
    throw cause;
  }
  throw new Error('the store was opened');
};

describe('the journal', () => {
  it('gives back after a restart what was appended, in order and chained', () => {
    const store = openStore(folder);
    store.journal.begin({ id: 'b1', name: 'Three lines', at: AT }, [started]);
    store.journal.append('b1', AT, [vessel]);
    store.close();
    const again = openStore(folder);
    const events = again.journal.events('b1');
    expect(events.map((one) => one.event)).toEqual([started, vessel]);
    expect(events[1]?.prev).toBe(events[0]?.hash);
    expect(events.map((one) => one.n)).toEqual([1, 2]);
    expect(again.journal.batches()).toEqual([
      { id: 'b1', name: 'Three lines', started: AT, status: 'open', total: null },
    ]);
    again.close();
  });

  it('refuses to change or delete an event, whoever asks', () => {
    const store = openStore(folder);
    store.journal.begin({ id: 'b1', name: 'x', at: AT }, [started, vessel]);
    store.close();
    const raw = new Database(join(folder, FILE_NAME));
    expect(() => raw.exec("UPDATE event SET body = '{}'")).toThrow('append-only');
    expect(() => raw.exec('DELETE FROM event')).toThrow('append-only');
    expect(() => raw.exec('DELETE FROM batch')).toThrow();
    raw.close();
  });

  it('stores all events of one step or none', () => {
    const store = openStore(folder);
    store.journal.begin({ id: 'b1', name: 'x', at: AT }, [started]);
    const circular: Record<string, unknown> = {};
    circular.self = circular;
    expect(() => store.journal.append('b1', AT, [vessel, circular as unknown as PourEvent])).toThrow();
    expect(store.journal.events('b1')).toHaveLength(1);
    store.close();
  });

  it('keeps the trace beside the capture it led to', () => {
    const store = openStore(folder);
    store.journal.begin({ id: 'b1', name: 'x', at: AT }, [started]);
    const captured: PourEvent = {
      type: 'captured',
      pour: 1,
      line: 'rose',
      lot: 'L-rose',
      before: '50.00',
      after: '52.00',
      net: '2.00',
      verdict: 'inside',
      settled: rest('52.00'),
    };
    const trace = { start: AT, readings: [[0, '50.00'] as const, [100, '52.00'] as const] };
    store.journal.append('b1', AT, [captured], { trace });
    expect(store.journal.trace('b1', 2)).toEqual(trace);
    expect(store.journal.trace('b1', 1)).toBeNull();
    store.close();
  });

  it('reads a revision from the beginning of its pour, whether it keeps only what is new or repeats the pour', () => {
    const store = openStore(folder);
    store.journal.begin({ id: 'b1', name: 'x', at: AT }, [started]);
    const pour = { line: 'rose', lot: 'L-rose', before: '50.00', after: '52.00', net: '2.00' };
    const captured = (no: number): PourEvent => ({
      type: 'captured',
      pour: no,
      ...pour,
      verdict: 'inside',
      settled: rest('52.00'),
    });
    const revised = (no: number, after: string): PourEvent => ({
      type: 'revised',
      pour: no,
      after,
      net: '2.01',
      verdict: 'inside',
      settled: rest(after),
    });
    const first = { start: AT, readings: [[0, '50.00'] as const, [100, '52.00'] as const] };
    const later = { start: new Date(Date.parse(AT) + 200).toISOString(), readings: [[0, '52.01'] as const] };
    const whole = { start: AT, readings: [...first.readings, [200, '52.01'] as const] };
    store.journal.append('b1', AT, [captured(1)], { trace: first });
    store.journal.append('b1', AT, [revised(1, '52.01')], { trace: later });
    store.journal.append('b1', AT, [captured(2)], { trace: later });
    store.journal.append('b1', AT, [revised(2, '52.02')], {
      trace: {
        ...later,
        readings: [
          [0, '9'],
          [9, '8'],
        ],
      },
    });
    store.journal.append('b1', AT, [revised(1, '52.00')]);
    expect(store.journal.trace('b1', 2)).toEqual(first);
    expect(store.journal.trace('b1', 3)).toEqual(whole);
    expect(store.journal.trace('b1', 4)).toEqual(later);
    expect(store.journal.trace('b1', 5)).toEqual({
      ...later,
      readings: [
        [0, '9'],
        [9, '8'],
      ],
    });
    expect(store.journal.trace('b1', 6)).toBeNull();
    store.close();
  });
});

describe('opening the store', () => {
  it('refuses a database of a newer program and leaves it alone', () => {
    const raw = new Database(join(folder, FILE_NAME));
    raw.pragma('user_version = 999');
    raw.close();
    const { message, next } = trouble(() => openStore(folder));
    expect(message).toContain('newer');
    expect(next).toContain('Nothing has been changed');
  });

  it('refuses a second program on the same database, and says which file', () => {
    const first = openStore(folder);
    const { message, where } = trouble(() => openStore(folder));
    expect(message).toContain('Another Pourwright');
    expect(where).toContain(FILE_NAME);
    first.close();
    openStore(folder).close();
  });

  it('says plainly that the folder cannot be made', () => {
    const file = join(folder, 'file');
    writeFileSync(file, '');
    expect(trouble(() => openStore(join(file, 'inside'))).where).toContain('inside');
    mkdirSync(join(folder, 'fine'));
    openStore(join(folder, 'fine')).close();
  });
});

describe('settings', () => {
  it('survive a restart', () => {
    const store = openStore(folder);
    store.workshop.set('balance', 'a');
    store.workshop.set('balance', 'b');
    store.close();
    const again = openStore(folder);
    expect(again.workshop.setting('balance')).toBe('b');
    expect(again.workshop.setting('nothing')).toBeNull();
    again.close();
  });
});
