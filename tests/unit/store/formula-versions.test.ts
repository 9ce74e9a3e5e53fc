import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { WrittenFormula } from '../../../core/formula/written.ts';
import { FILE_NAME } from '../../../electron/host/store/files.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { facts, lots, materials, wholeBatch } from '../record/batch.ts';
import { testFolder, troubleOf } from './given.ts';

const AT = '2026-11-25T09:00:00.000Z';
const LATER = '2026-11-25T10:00:00.000Z';

let folder: ReturnType<typeof testFolder>;
let store: Store;
beforeEach(() => {
  folder = testFolder();
  store = openStore(folder.path);
  store.workshop.add({ materials, lots, formulas: [] });
});
afterEach(() => {
  store.close();
  folder.remove();
});

const [material] = materials.filter((one) => one.kind === 'neat').map((one) => one.key);
const [solvent] = materials.filter((one) => one.kind === 'solvent').map((one) => one.key);
if (material === undefined || solvent === undefined) throw new Error('no materials');

const written = (id: string, figure: string): WrittenFormula => ({
  id,
  name: id,
  batch: '30',
  tolerance: '0.01',
  lines: [
    { id: 'a', of: { material }, amount: { figure, unit: 'percent' } },
    { id: 'q', of: { material: solvent }, qs: true },
  ],
});
const save = (one: WrittenFormula, why = 'a trial') => store.versions.save(one, { why, at: AT }).version;

/** Begins a batch of the formula as it stands at the head. */
function pour(id: string, batch: string): void {
  const formula = store.workshop.read().formulas.find((one) => one.id === id);
  const [started] = wholeBatch;
  if (formula === undefined || started?.type !== 'started') throw new Error('nothing to pour');
  store.journal.begin({ id: batch, name: id, at: AT }, [{ ...started, formula }]);
}

describe('versions of a formula', () => {
  it('are replaced until one is poured; then the next begins, and the poured one stays for ever', () => {
    expect(save(written('f', '5'))).toBe(1);
    expect(save(written('f', '6'))).toBe(1);
    pour('f', 'b1');
    expect(store.versions.head('f')?.fixed).toBe(true);
    expect(save(written('f', '7'), 'softer')).toBe(2);
    expect(save(written('f', '8'), 'softer')).toBe(2);
    expect(
      store.versions.list('f').map((one) => [one.n, one.why, one.written.lines[0]?.amount?.figure]),
    ).toEqual([
      [2, 'softer', '8'],
      [1, 'a trial', '6'],
    ]);
    expect(store.versions.batchesOf('f').map(({ batch, n }) => [batch, n])).toEqual([['b1', 1]]);
    expect(store.workshop.read().formulas[0]).toMatchObject({
      version: 2,
      lines: [{ fraction: '0.08' }, {}],
    });
    store.close();
    const db = new Database(join(folder.path, FILE_NAME));
    expect(() => db.exec("UPDATE formula_version SET body = '{}' WHERE n = 1")).toThrow('never changes');
    expect(() => db.exec('DELETE FROM formula_version')).toThrow('never deleted');
    db.close();
    store = openStore(folder.path);
  });

  it('saved again without a change are the same version', () => {
    save(written('f', '5'));
    pour('f', 'b1');
    expect(save(written('f', '5'))).toBe(1);
  });

  it('of a formula that came without any begin at 1, poured or not', () => {
    const plain = { ...facts.formula, id: 'old' };
    store.workshop.add({ materials: [], lots: [], formulas: [plain] });
    expect(store.versions.head('old')).toMatchObject({ n: 1, fixed: false, formula: { version: 1 } });
    const before = store.versions.head('old')?.written;
    if (before === undefined) throw new Error('no formula');
    expect(save({ ...before, name: 'Old, renamed' })).toBe(1);
    pour('old', 'b1');
    expect(save({ ...before, name: 'Old, again' })).toBe(2);
    // One that was poured before versions were kept.
    store.workshop.add({ materials: [], lots: [], formulas: [{ ...plain, id: 'older' }] });
    const [started] = wholeBatch;
    if (started?.type !== 'started') throw new Error('no event');
    store.journal.begin({ id: 'b0', name: 'older', at: AT }, [
      { ...started, formula: { ...plain, id: 'older' } },
    ]);
    expect(store.versions.batchesOf('older')).toMatchObject([{ batch: 'b0', n: 1 }]);
    expect(save({ ...before, id: 'older', name: 'Older, changed' })).toBe(2);
    expect(store.versions.at('older', 1)).toMatchObject({ fixed: true, written: { name: plain.name } });
  });

  it('get their first row by the pour itself', () => {
    store.workshop.add({ materials: [], lots: [], formulas: [{ ...facts.formula, id: 'old', version: 1 }] });
    pour('old', 'b1');
    expect(store.versions.at('old', 1)?.fixed).toBe(true);
    expect(store.versions.list('old')).toHaveLength(1);
  });

  it('that another formula has as an accord are fixed, and changed as a new version', () => {
    save(written('accord', '40'));
    save({
      ...written('whole', '1'),
      lines: [
        { id: 'x', of: { formula: 'accord', version: 1 }, amount: { figure: '10', unit: 'percent' } },
        { id: 'q', of: { material: solvent }, qs: true },
      ],
    });
    expect(save(written('accord', '50'))).toBe(2);
    expect(store.versions.usedBy('accord')).toEqual([{ n: 1, formula: 'whole', version: 1 }]);
    expect(store.versions.head('whole')?.formula.lines[0]).toMatchObject({ material, fraction: '0.04' });
  });

  it('are not saved when something is wrong, nor over a newer head', () => {
    save(written('f', '5'));
    pour('f', 'b1');
    save(written('f', '6'));
    expect(
      troubleOf(() => store.versions.save(written('f', '7'), { why: 'x', at: LATER, base: 1 })).message,
    ).toBe('"f" is at version 2 by now; this was written from version 1.');
    expect(() => save(written('f', '120'))).toThrow('120 %');
    expect(() =>
      save({ ...written('f', '1'), lines: [{ id: 'z', of: { material: 'none' }, qs: true }] }),
    ).toThrow('no material "none"');
    expect(store.versions.head('f')).toMatchObject({ n: 2, at: AT });
  });

  it('know which batch they took over as made', () => {
    save(written('f', '5'));
    pour('f', 'b1');
    store.versions.save(written('f', '5.2'), { why: 'as made in batch f', at: LATER, adopted: 'b1' });
    expect(store.versions.adoptedFrom('b1')).toEqual({ id: 'f', n: 2 });
    expect(store.versions.adoptedFrom('b2')).toBeNull();
  });
});
