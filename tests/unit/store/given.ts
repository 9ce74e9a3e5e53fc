import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { PourEvent } from '../../../core/pour/events.ts';
import type { Store } from '../../../electron/host/store/store.ts';
import type { Trace } from '../../../electron/host/store/trace-pack.ts';
import { StoreTrouble } from '../../../electron/host/store/trouble.ts';
import { facts, lots, materials, wholeBatch } from '../record/batch.ts';

export const AT = '2026-11-25T09:00:00.000Z';

export const TRACE: Trace = {
  start: AT,
  readings: [
    [0, '50.00'],
    [98, '50.61'],
    [201, '52.20'],
    [299, '52.20'],
  ],
};

/** A workshop, a closed batch with the trace of its first pour, and an interrupted one. */
export function fillStore(store: Store): void {
  store.workshop.add({ materials, lots, formulas: [facts.formula] });
  store.workshop.set('remark', 'kept');
  const [started, ...rest] = wholeBatch;
  if (started === undefined) throw new Error('no events');
  store.journal.begin({ id: 'whole', name: facts.formula.name, at: AT }, [started]);
  for (const event of rest)
    store.journal.append(
      'whole',
      AT,
      [event],
      event.type === 'captured' && event.pour === 1
        ? { trace: TRACE }
        : event.type === 'closed'
          ? { total: '22.20' }
          : {},
    );
  store.journal.begin({ id: 'torn', name: facts.formula.name, at: '2026-11-25T10:00:00.000Z' }, [
    started,
    {
      type: 'vessel-weighed',
      gross: '50.00',
      settled: { g: '50.00', at: 1, since: 0, readings: 5, rule: 'x' },
    },
  ] satisfies PourEvent[]);
}

/** A folder for one test, and what removes it. */
export function testFolder(): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'pourwright-store-'));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

/** The StoreTrouble that `act` ends in. */
export function troubleOf(act: () => unknown): StoreTrouble {
  try {
    act();
  } catch (cause) {
    if (cause instanceof StoreTrouble) return cause;
    throw cause;
  }
  throw new Error('nothing went wrong');
}
