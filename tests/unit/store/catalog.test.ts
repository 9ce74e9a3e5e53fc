import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { PourEvent } from '../../../core/pour/events.ts';
import { recallOf } from '../../../electron/host/recall.ts';
import type { BatchQuery } from '../../../electron/host/store/catalog.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { captured, facts, settled, wholeBatch } from '../record/batch.ts';
import { testFolder, troubleOf } from './given.ts';

let folder = testFolder();
let store: Store;
beforeEach(() => {
  folder = testFolder();
  store = openStore(folder.path);
});
afterEach(() => {
  store.close();
  folder.remove();
});

/** 20 g without an overpour, from a first bottle of the given code and origin. */
function plainBatch(name: string, operator: string, first: { code: string; madeBy?: string }): PourEvent[] {
  const lots = facts.lots.map((lot) => (lot.code === 'R10' ? { ...lot, ...first } : lot));
  const steps = facts.plan.steps.map((step) => (step.lot === 'R10' ? { ...step, lot: first.code } : step));
  return [
    {
      type: 'started',
      ...facts,
      operator,
      lots,
      plan: { ...facts.plan, steps },
      formula: { ...facts.formula, name },
    },
    { type: 'vessel-weighed', gross: '50.00', settled: settled('50.00') },
    captured(1, 'rose', first.code, ['50.00', '52.00'], '2.00'),
    captured(2, 'cedar', 'C50', ['52.00', '56.00'], '4.00'),
    captured(3, 'ethanol', 'E96', ['56.00', '70.00'], '14.00'),
    { type: 'closed', gross: '70.00', closure: '0.00', settled: settled('70.00') },
  ];
}

function put(id: string, day: string, events: readonly PourEvent[]): void {
  const at = `${day}T09:00:00.000Z`;
  const [started, ...rest] = events;
  if (started?.type !== 'started') throw new Error('no start');
  store.journal.begin({ id, name: started.formula.name, at }, [started]);
  for (const event of rest)
    store.journal.append(id, at, [event], event.type === 'closed' ? { total: '20.00' } : {});
}

const ids = (query: Partial<BatchQuery>): string[] =>
  store.catalog.find({ limit: 50, ...query }).rows.map((row) => row.id);

describe('finding batches', () => {
  beforeEach(() => {
    put('a', '2026-01-10', plainBatch('Été à Grasse', 'Ada', { code: 'R10' }));
    put('b', '2026-02-10', plainBatch('Пион и мята', 'Евгения', { code: 'R10' }));
    put('c', '2026-03-10', wholeBatch);
    put('d', '2026-04-10', plainBatch('Summer rain', 'Ada', { code: 'RX-7' }).slice(0, 4));
  });

  it('lists the latest first, page by page', () => {
    const first = store.catalog.find({ limit: 3 });
    expect(first.rows.map((row) => row.id)).toEqual(['d', 'c', 'b']);
    expect(first.more).toBe(true);
    const next = store.catalog.find({ limit: 3, after: first.rows.at(-1)?.no ?? 0 });
    expect(next.rows.map((row) => row.id)).toEqual(['a']);
    expect(next.more).toBe(false);
  });

  it.each<[string, Partial<BatchQuery>, string[]]>([
    ['name, without accents', { in: { name: 'ete gra' } }, ['a']],
    ['name, in another alphabet', { words: 'пион' }, ['b']],
    ['lot', { in: { lot: 'R10' } }, ['c', 'b', 'a']],
    ['material', { in: { material: 'cedar' } }, ['c', 'b', 'a']],
    ['operator', { in: { operator: 'ada' } }, ['d', 'a']],
    ['day', { from: '2026-02-10', to: '2026-03-10' }, ['c', 'b']],
    ['deviation', { in: { deviation: 'voided' } }, ['c']],
    ['correction', { words: 'corrected' }, ['c']],
    ['interruption', { status: 'open' }, ['d']],
    ['a deviation nobody has', { worst: 5 }, []],
    ['several together', { words: 'rose', in: { operator: 'Ев' }, to: '2026-12-31' }, ['b']],
    ['signs that a query language would read', { words: '"rose* OR -(NEAR' }, []],
    ['only signs', { words: '* - "' }, ['d', 'c', 'b', 'a']],
  ])('by %s', (_, query, wanted) => {
    expect(ids(query)).toEqual(wanted);
  });

  it('says what was not as planned, and follows an amendment', () => {
    const row = store.catalog.find({ limit: 1, in: { deviation: 'corrected' } }).rows[0];
    expect(row).toMatchObject({ id: 'c', marks: 'corrected, voided', status: 'closed', trouble: null });
    expect(ids({ words: 'amended' })).toEqual([]);
    store.journal.append('a', '2026-05-01T09:00:00.000Z', [
      { type: 'amended', who: 'Ada', why: 'x', text: 'y' },
    ]);
    expect(ids({ words: 'amended' })).toEqual(['a']);
    expect(ids({})).toEqual(['d', 'c', 'b', 'a']);
  });

  it('refuses a day that is none', () => {
    expect(troubleOf(() => ids({ from: '31.1.2026' })).next).toContain('2026-01-31');
  });

  it('keeps a batch listed whose figures cannot be computed, with the reason', () => {
    put('e', '2026-05-10', [
      ...plainBatch('Odd', 'Ada', { code: 'R10' }).slice(0, 2),
      captured(1, 'rose', 'NOBODY', ['50.00', '52.00'], '2.00'),
      { type: 'closed', gross: '52.00', closure: '0.00', settled: settled('52.00') },
    ]);
    const row = store.catalog.find({ limit: 1, words: 'odd' }).rows[0];
    expect(row).toMatchObject({ id: 'e', status: 'closed', strength: null });
    expect(row?.trouble).toContain('NOBODY');
  });

  it('gives the strength of one formula over time', () => {
    const points = store.catalog.strengths('f1');
    expect(points.map((point) => point.batch)).toEqual(['a', 'b', 'c']);
    expect(points.every((point) => point.strength === '0.1096' && Number(point.u) > 0)).toBe(true);
    expect(store.catalog.strengths('none')).toEqual([]);
  });
});

describe('recall', () => {
  it('follows a lot through what was made of it, with its share', () => {
    put('first', '2026-01-10', plainBatch('Dilution', 'Ada', { code: 'R10' }));
    put('second', '2026-01-11', plainBatch('Blend', 'Ada', { code: 'D1', madeBy: 'first' }));
    put('third', '2026-01-12', plainBatch('Finished', 'Ada', { code: 'D2', madeBy: 'second' }));
    put('open', '2026-01-13', plainBatch('Not yet', 'Ada', { code: 'D1', madeBy: 'first' }).slice(0, 4));
    put('other', '2026-01-14', plainBatch('Other', 'Ada', { code: 'OTHER' }));
    /* 2 g of 20 g each time: 0.1, 0.01, 0.001; the open one has 2 g of 6 g, of which a tenth is the lot. */
    expect(
      recallOf(store, 'R10').rows.map(({ batch, share, through, became, status }) => [
        batch,
        share,
        through,
        became,
        status,
      ]),
    ).toEqual([
      ['open', '0.033333333', ['D1'], null, 'interrupted'],
      ['third', '0.001', ['D2'], null, 'closed'],
      ['second', '0.01', ['D1'], 'D2', 'closed'],
      ['first', '0.1', ['R10'], 'D1', 'closed'],
    ]);
    expect(recallOf(store, 'OTHER').rows.map((row) => row.batch)).toEqual(['other']);
    expect(recallOf(store, 'E96').rows).toHaveLength(5);
  });

  it('finds a batch whose figures cannot be computed, and names one whose events cannot be read', () => {
    const odd = plainBatch('Odd', 'Ada', { code: 'R10' }).slice(0, 2);
    put('odd', '2026-01-10', [
      ...odd,
      captured(1, 'rose', 'NOBODY', ['50.00', '52.00'], '2.00'),
      { type: 'closed', gross: '52.00', closure: '0.00', settled: settled('52.00') },
    ]);
    put('torn', '2026-01-11', [
      ...odd,
      { type: 'confirmed', pour: 7 },
      { type: 'closed', gross: '50.00', closure: '0.00', settled: settled('50.00') },
    ]);
    const { rows, unread } = recallOf(store, 'NOBODY');
    expect(rows).toMatchObject([{ batch: 'odd', share: '1' }]);
    expect(unread.map((row) => row.id)).toEqual(['torn']);
  });

  it('says that nobody has such a lot, and that one on the shelf went nowhere', () => {
    expect(() => recallOf(store, 'X')).toThrow('No bottle and no batch has the lot "X".');
    store.workshop.add({
      materials: [],
      lots: [{ code: 'X', name: 'X', composition: { rose: '1' } }],
      formulas: [],
    });
    expect(recallOf(store, 'X').rows).toEqual([]);
  });
});
