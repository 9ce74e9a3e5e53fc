import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { WrittenFormula } from '../../../core/formula/written.ts';
import { loadDemo } from '../../../electron/host/exchange/first-run.ts';
import { adopt, adoptView, comparisonView } from '../../../electron/host/formulas/comparing.ts';
import { figuresOf } from '../../../electron/host/formulas/figures.ts';
import { FormulaIndex } from '../../../electron/host/formulas/list.ts';
import { checkView, sheetView, versionOf } from '../../../electron/host/formulas/sheet.ts';
import { freeId } from '../../../electron/host/formulas/texts.ts';
import { trialHandlers } from '../../../electron/host/formulas/trials.ts';
import { limitsFor } from '../../../electron/host/limits.ts';
import { draw, type PlanningPlace } from '../../../electron/host/planning.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { CheckView, FormulaSheet } from '../../../electron/host/table-written.ts';
import { takeSheet } from '../../../electron/host/typed-sheet.ts';
import { testFolder } from '../store/given.ts';

const NOW = Date.parse('2026-11-25T09:00:00.000Z');

let folder: ReturnType<typeof testFolder>;
let store: Store;
beforeEach(() => {
  folder = testFolder();
  store = openStore(folder.path);
  loadDemo(store, '2026-11-20T08:00:00.000Z');
});
afterEach(() => {
  store.close();
  folder.remove();
});

const place = (): PlanningPlace => ({
  workshop: store.workshop.read(),
  limits: limitsFor(null),
  today: '2026-11-25',
});

/** Pours a formula by a sheet, its second line 2 % too much. @returns the batch's id */
function pour(formula: string, batch = 'made-1'): string {
  const draft = { formula, size: { by: 'mass' as const, g: '100' } };
  const { plan } = draw(draft, place());
  const lines = plan.steps.map((step, at) => ({
    line: step.line,
    net: (Number(step.target) * (at === 1 ? 1.02 : 1)).toFixed(2),
  }));
  return takeSheet(store.journal, { draft, operator: 'Ada', lines }, place(), { id: batch, at: NOW });
}

const typed = (lines: WrittenFormula['lines']): WrittenFormula => ({
  id: 'typed',
  name: 'Typed',
  batch: '30',
  tolerance: '0.01',
  lines,
});

describe('a formula as it is typed', () => {
  it('is told with every problem once, each at its field', () => {
    const view = CheckView.parse(
      checkView(
        typed([
          { id: 'a', of: { material: 'geranium' } },
          { id: 'b', of: { material: 'moon' }, amount: { figure: '2', unit: 'percent' } },
          { id: 'q', of: { material: 'ethanol' }, qs: true },
        ]),
        store,
      ),
    );
    expect(view.problems.map((one) => one.field)).toEqual(['line a amount', 'line b of']);
    expect(view.resolved).toBeNull();
    expect(view.sum).toBe('2 %');
  });

  it('refuses to be an accord of itself, with the way named', () => {
    const view = checkView(
      {
        ...typed([
          {
            id: 'x',
            of: { formula: 'loft-beam-base-2', version: 1 },
            amount: { figure: '10', unit: 'percent' },
          },
          { id: 'q', of: { material: 'ethanol' }, qs: true },
        ]),
        id: 'warm-plank-accord-1',
        name: 'Warm plank accord, trial 1',
      },
      store,
    );
    expect(view.problems[0]?.what).toBe(
      'it would be made of itself: Warm plank accord, trial 1 from Loft beam base, trial 2 from Warm plank accord, trial 1',
    );
  });
});

describe('formulas of the workshop', () => {
  it('are found by name without accents and by what is in them, also right after a change', () => {
    const index = new FormulaIndex();
    const names = (words: string) =>
      index.find(store.versions.known(), { words, limit: 50 }).rows.map((row) => row.name);
    expect(names('COLD')).toEqual(['Cold window, trial 2']);
    expect(names('labdanum')).toContain('Loft beam base, trial 2');
    const { written } = versionOf(store.versions, { id: 'cold-window-2' });
    store.versions.save({ ...written, name: 'Fenêtre froide' }, { why: '', at: '2026-11-25T09:00:00.000Z' });
    expect(names('fenetre')).toEqual(['Fenêtre froide']);
    expect(names('cold')).toEqual([]);
  });

  it('open with their accords, versions and picture', () => {
    const sheet = FormulaSheet.parse(sheetView(store, { id: 'loft-beam-base-2' }));
    expect(sheet.lines[0]).toMatchObject({
      title: 'Warm plank accord, trial 1',
      accord: { n: 1, newest: 1 },
    });
    expect(sheet.resolved?.words[0]).toContain('Warm plank accord, trial 1, version 1, is 40 % of the whole');
    const shares = sheet.picture?.notes.reduce((sum, one) => sum + one.share, 0);
    expect(shares).toBeCloseTo(1, 12);
    expect(sheetView(store, { id: 'warm-plank-accord-1' }).versions[0]).toMatchObject({ fixed: true });
    expect(() => sheetView(store, { id: 'none' })).toThrow('There is no formula "none".');
  });

  it('tell their cost, and which bottle has no price', () => {
    const version = versionOf(store.versions, { id: 'cold-window-2' });
    const priced = figuresOf(version, '100', place());
    expect(Number(priced.cost?.per100)).toBeCloseTo(Number(priced.cost?.batch), 2);
    const { workshop, ...rest } = place();
    const lots = workshop.lots.map(({ price: _, ...lot }) => lot);
    const bare = figuresOf(version, undefined, { ...rest, workshop: { ...workshop, lots } });
    expect(bare.cost).toMatchObject({ batch: '0.00' });
    expect(bare.cost?.missing.length).toBeGreaterThan(3);
    const none = figuresOf(version, undefined, { ...rest, workshop: { ...workshop, lots: [] } });
    expect(none.trouble?.what).toContain('lot');
  });

  it('new ones get an id of their name that is free', () => {
    expect(freeId('Évening wall, 3', () => false)).toBe('évening-wall-3');
    expect(freeId('New', () => false)).toBe('new-formula');
    expect(freeId('Wall', (id) => id === 'wall' || id === 'wall-2')).toBe('wall-3');
  });
});

describe('a batch as made', () => {
  it('becomes the next version of its formula, that plans to what was poured', () => {
    const batch = pour('cold-window-2');
    expect(store.versions.head('cold-window-2')?.fixed).toBe(true);
    const { offer, n, done } = adoptView(store, batch);
    expect([n, done]).toEqual([1, null]);
    expect(offer?.comparison.rows.find((row) => row.material === 'Linalool')).toMatchObject({
      how: 'changed',
      a: '4 %',
      b: '4.0767 %',
    });
    expect(adopt(store, batch, '', '2026-11-25T10:00:00.000Z')).toEqual({ id: 'cold-window-2', n: 2 });
    const head = store.versions.head('cold-window-2');
    expect(head).toMatchObject({
      n: 2,
      adopted: batch,
      why: 'as made in batch Cold window, trial 2, 2026-11-25',
    });
    expect(adoptView(store, batch).done).toEqual({ id: 'cold-window-2', n: 2 });
    const { plan } = draw({ formula: 'cold-window-2', size: { by: 'mass', g: '100.08' } }, place());
    const linalool = plan.steps.find((step) => step.material === 'linalool');
    expect(Number(linalool?.target)).toBeCloseTo(4.08, 5);
    const before = versionOf(store.versions, { id: 'cold-window-2', n: 1 });
    const after = versionOf(store.versions, { id: 'cold-window-2' });
    expect(comparisonView(store, before, after).rows.map((row) => row.how)).toContain('changed');
  });
});

describe('trials of a batch', () => {
  let now = NOW;
  const calls = () => trialHandlers(store, () => now);
  beforeEach(() => {
    now = NOW + 3_600_000;
  });

  it('remind in time, take notes that stay, and are over with them', () => {
    const batch = pour('cold-window-2');
    const dipped = new Date(now).toISOString();
    calls()['trials.dip']({ batch, name: 'A', at: dipped, minutes: [60, 15, 15] });
    expect(calls()['trials.due']()).toMatchObject({ due: [], next: [{ batch }, { batch }] });
    now += 16 * 60_000;
    expect(
      calls()
        ['trials.due']()
        .due.map((one) => one.what),
    ).toEqual(['smell blotter A, 15 min after dipping']);
    const [blotter] = calls()['trials.open']({ batch }).blotters;
    const note = { batch, who: 'Ada', text: 'green', blotter: blotter?.id ?? '', minute: 15 };
    expect(() => calls()['trials.note']({ ...note, text: ' ' })).toThrow('The note is empty.');
    expect(() => calls()['trials.note']({ ...note, who: ' ' })).toThrow('Nobody is named.');
    expect(calls()['trials.note'](note).notes).toMatchObject([
      { who: 'Ada', text: 'green', of: 'blotter A, after 15 min' },
    ]);
    expect(calls()['trials.due']().due).toEqual([]);
    now += 45 * 60_000;
    calls()['trials.let-go']({ batch, blotter: blotter?.id ?? '', minute: 60 });
    calls()['trials.mature']({ batch, on: '2026-11-25' });
    expect(
      calls()
        ['trials.due']()
        .due.map((one) => one.what),
    ).toEqual(['has matured']);
    store.close();
    store = openStore(folder.path);
    expect(calls()['trials.of-formula']({ id: 'cold-window-2' })).toMatchObject([{ batch, n: 1 }]);
    expect(calls()['trials.open']({ batch }).notes).toHaveLength(1);
  });

  it('are refused before the batch is closed, in the future, or before it was begun', () => {
    const batch = pour('cold-window-2');
    const at = (ms: number) => ({ batch, name: '', at: new Date(ms).toISOString(), minutes: [15] });
    expect(() => calls()['trials.dip'](at(now + 3_600_000))).toThrow('in the future');
    expect(() => calls()['trials.dip'](at(NOW - 60_000))).toThrow('before the batch was begun');
    expect(() => calls()['trials.dip']({ ...at(now), batch: 'none' })).toThrow('no batch "none"');
    expect(calls()['trials.open']({ batch }).blotters).toEqual([]);
  });
});
