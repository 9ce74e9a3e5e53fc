import { copyFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import Database from 'better-sqlite3';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { PourEvent } from '../../../core/pour/events.ts';
import { Decimal, decimal } from '../../../core/quantity/decimal.ts';
import { FILE_NAME } from '../../../electron/host/store/files.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { facts, lots, wholeBatch } from '../record/batch.ts';
import { testFolder } from './given.ts';

let folder: ReturnType<typeof testFolder>;
let store: Store;
beforeEach(() => {
  folder = testFolder();
  store = openStore(folder.path);
});
afterEach(() => {
  store.close();
  folder.remove();
});

const stamp = (ms: number): string => new Date(Date.UTC(2026, 10, 25, 8) + ms).toISOString();
const settled = { g: '50.00', at: 1, since: 0, readings: 5, rule: 'x' };
const started: PourEvent = { type: 'started', ...facts };
const captured = (pour: number, lot: string, net: string): PourEvent => ({
  ...{ type: 'captured', pour, line: 'rose', lot, before: '0', after: net, net },
  ...{ verdict: 'inside', settled },
});
const abandoned: PourEvent = { type: 'abandoned', reason: 'enough' };
const say = (lot: string, g: string, at: string, kind: 'stated' | 'weighed' = 'stated') =>
  store.stock.append({ lot, kind, g, who: 'tester', why: 'for the test' }, at);
const shelf = (code: string) => store.workshop.read().lots.find((lot) => lot.code === code)?.stock;

describe('the stock of a lot', () => {
  it('is not known before anything was said of it, however much was poured', () => {
    store.journal.begin({ id: 'b', name: 'x', at: stamp(0) }, [started, captured(1, 'A', '2.00'), abandoned]);
    expect(store.stock.of('A')).toBeNull();
    say('A', '10.00', stamp(5));
    expect(store.stock.of('A')).toBe('10.00');
  });

  it('falls by each pour as it is captured, revised or voided, before its batch has ended, and after', () => {
    say('A', '10.00', stamp(0));
    store.journal.begin({ id: 'b', name: 'x', at: stamp(10) }, [started]);
    store.journal.append('b', stamp(11), [captured(1, 'A', '2.000')]);
    expect(store.stock.of('A')).toBe('8.00');
    store.journal.append('b', stamp(12), [
      { type: 'revised', pour: 1, after: '2.01', net: '2.010', verdict: 'inside', settled },
    ]);
    expect(store.stock.all().get('A')).toBe('7.99');
    store.journal.append('b', stamp(13), [captured(2, 'A', '1.50')]);
    store.journal.append('b', stamp(14), [{ type: 'voided', pour: 2, reason: 'touched', gross: '0' }]);
    store.journal.append('b', stamp(15), [captured(3, 'A', '1.25')]);
    expect(store.stock.of('A')).toBe('6.74');
    store.journal.append('b', stamp(16), [abandoned]);
    expect(store.stock.all().get('A')).toBe('6.74');
    expect(store.stock.takings('A')).toEqual([
      { batch: 'b', name: 'x', status: 'abandoned', at: stamp(11), g: '3.260', pours: 2 },
    ]);
  });

  it('counts what was withdrawn from the vessel: it does not go back into the bottle', () => {
    say('A', '10.00', stamp(0));
    store.journal.begin({ id: 'b', name: 'x', at: stamp(10) }, [
      started,
      captured(1, 'A', '4.00'),
      {
        type: 'withdrawn',
        from: 'unmixed',
        before: '4.00',
        after: '3.00',
        taken: '1.00',
        settled,
      } as PourEvent,
      abandoned,
    ]);
    expect(store.stock.of('A')).toBe('6.00');
  });

  it('weighed in the middle of a batch, is not lessened again by what the weighing saw already', () => {
    say('A', '10.00', stamp(0));
    store.journal.begin({ id: 'b', name: 'x', at: stamp(10) }, [started, captured(1, 'A', '2.00')]);
    const entry = say('A', '7.90', stamp(20), 'weighed');
    expect(entry.expected).toBe('8.00');
    store.journal.append('b', stamp(30), [captured(2, 'A', '0.40')]);
    store.journal.append('b', stamp(40), [abandoned]);
    expect(store.stock.of('A')).toBe('7.50');
    expect(store.stock.takings('A').map((one) => one.g)).toEqual(['2.00', '0.40']);
  });

  it('is what was said last, even where the clock was put back in between', () => {
    say('A', '10.00', stamp(5000));
    store.journal.begin({ id: 'b', name: 'x', at: stamp(6000) }, [
      started,
      captured(1, 'A', '2.00'),
      abandoned,
    ]);
    say('A', '7.00', stamp(1000));
    expect(store.stock.of('A')).toBe('7.00');
    expect(store.stock.entries('A').map((one) => one.g)).toEqual(['10.00', '7.00']);
  });

  it('is nought in plans where more was poured than was said to be there, and tells the truth when asked', () => {
    store.workshop.add({
      materials: [],
      lots: [{ ...lots[0], code: 'A', name: 'A', composition: {}, stock: '1.00' }],
      formulas: [],
    });
    expect(shelf('A')).toBe('1.00');
    store.journal.begin({ id: 'b', name: 'x', at: new Date(Date.now() + 1000).toISOString() }, [
      started,
      captured(1, 'A', '1.30'),
      abandoned,
    ]);
    expect(store.stock.of('A')).toBe('-0.30');
    expect(shelf('A')).toBe('0');
  });

  it('stays as it was when what was to be stored with it is rolled back', () => {
    say('A', '10.00', stamp(0));
    expect(store.stock.all().get('A')).toBe('10.00');
    const bad = { code: 'B', name: 'B', composition: {}, stock: '5.00' };
    const circular: Record<string, unknown> = { id: 'f', name: 'f' };
    circular.self = circular;
    const formula = circular as unknown as typeof facts.formula;
    expect(() =>
      store.workshop.add({ materials: [], lots: [bad, { ...bad, code: 'C' }], formulas: [formula] }),
    ).toThrow();
    expect([...store.stock.all().keys()]).toEqual(['A']);
    expect(store.workshop.read().lots).toEqual([]);
  });

  it('has entries that nobody can change or take away', () => {
    say('A', '10.00', stamp(0));
    store.close();
    const raw = new Database(join(folder.path, FILE_NAME));
    expect(() => raw.exec("UPDATE stock_entry SET g = '99'")).toThrow('append-only');
    expect(() => raw.exec('DELETE FROM stock_entry')).toThrow('append-only');
    raw.close();
    store = openStore(folder.path);
    expect(store.stock.of('A')).toBe('10.00');
  });
});

type Deed =
  | { readonly do: 'say'; readonly lot: string; readonly mg: number }
  | {
      readonly do: 'pour';
      readonly lot: string;
      readonly mg: number;
      readonly fate: 'kept' | 'voided' | 'revised';
    }
  | { readonly do: 'end' };

const lotName = fc.constantFrom('A', 'B');
const mg = fc.integer({ min: 0, max: 90_000 });
const deed: fc.Arbitrary<Deed> = fc.oneof(
  fc.record({ do: fc.constant('say' as const), lot: lotName, mg }),
  fc.record({
    do: fc.constant('pour' as const),
    ...{ lot: lotName, mg, fate: fc.constantFrom('kept' as const, 'voided' as const, 'revised' as const) },
  }),
  fc.constant({ do: 'end' as const }),
);
const grams = (milligrams: number): string => new Decimal(milligrams).div(1000).toFixed(3);

/** Does the deeds at one bench, one after the other, and reckons beside the store what each bottle holds. */
function act(deeds: readonly Deed[], run: number): Map<string, Decimal> {
  const holds = new Map<string, Decimal>();
  let batch: string | null = null;
  let pour = 0;
  for (const [i, one] of deeds.entries()) {
    const at = stamp(run * 1e6 + i * 10);
    const lot = 'lot' in one ? `${one.lot}${run}` : '';
    if (one.do === 'say') {
      say(lot, grams(one.mg), at);
      holds.set(lot, decimal(grams(one.mg)));
    } else if (one.do === 'pour') {
      if (batch === null) {
        batch = `${run}-${i}`;
        pour = 0;
        store.journal.begin({ id: batch, name: batch, at }, [started]);
      }
      pour += 1;
      store.journal.append(batch, at, [captured(pour, lot, grams(one.mg))]);
      if (one.fate === 'voided')
        store.journal.append(batch, at, [{ type: 'voided', pour, reason: 'x', gross: '0' }]);
      const net = grams(one.fate === 'revised' ? one.mg + 7 : one.mg);
      if (one.fate === 'revised')
        store.journal.append(batch, at, [
          { type: 'revised', pour, after: net, net, verdict: 'inside', settled },
        ]);
      const held = holds.get(lot);
      if (held !== undefined && one.fate !== 'voided') holds.set(lot, held.minus(net));
    } else if (batch !== null) {
      store.journal.append(batch, at, [abandoned]);
      batch = null;
    }
  }
  return holds;
}

describe('any sequence of entries and batches', () => {
  it('leaves in each bottle what was last said of it less what was poured since, now and after a restart', () => {
    let run = 0;
    fc.assert(
      fc.property(fc.array(deed, { maxLength: 25 }), (deeds) => {
        run += 1;
        const holds = act(deeds, run);
        for (const lot of [`A${run}`, `B${run}`]) {
          const held = holds.get(lot) ?? null;
          const alone = store.stock.of(lot);
          expect(alone === null ? null : Number(alone)).toBe(held?.toNumber() ?? null);
          expect(store.stock.all().get(lot) ?? null).toBe(alone);
        }
      }),
      { seed: 20261125, numRuns: 60 },
    );
    const before = store.stock.all();
    expect(before.size).toBeGreaterThan(20);
    store.close();
    store = openStore(folder.path);
    expect([...store.stock.all()].sort()).toEqual([...before].sort());
  });
});

describe.each([1, 2])('a database of version %i', (version) => {
  it('keeps each stock as it was stated, from the migration on; earlier batches are not taken off, later ones are', () => {
    store.close();
    const kept = resolve(import.meta.dirname, `../../../fixtures/stores/v${version}.sqlite`);
    copyFileSync(kept, join(folder.path, FILE_NAME));
    const raw = new Database(join(folder.path, FILE_NAME));
    raw.prepare("UPDATE lot SET body = json_set(body, '$.stock', '30.00') WHERE code = 'R10'").run();
    raw.close();
    store = openStore(folder.path);
    const [entry] = store.stock.entries('R10');
    expect(entry).toMatchObject({ kind: 'stated', g: '30.00', expected: null });
    const taken = store.stock.takings('R10');
    expect(taken).toMatchObject([{ batch: 'whole', status: 'closed' }]);
    expect(Number(taken[0]?.g)).toBeGreaterThan(0);
    expect(shelf('R10')).toBe('30.00');
    store.close();
    store = openStore(folder.path);
    expect(store.stock.entries('R10')).toHaveLength(1);
    const later = new Date(Date.now() + 1000).toISOString();
    store.journal.begin({ id: 'later', name: 'x', at: later }, wholeBatch.slice());
    expect(Number(shelf('R10'))).toBeCloseTo(30 - Number(taken[0]?.g), 9);
  });
});
