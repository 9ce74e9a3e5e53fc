import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { nextLine } from '../../../core/pour/state.ts';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { applyRemedy, pendingDilution, shelfOffer, shelve } from '../../../electron/host/dilutions.ts';
import { limitsFor } from '../../../electron/host/limits.ts';
import { draw, type PlanningPlace, planView, remediesOf } from '../../../electron/host/planning.ts';
import { Bench } from '../../../electron/host/session.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import type { Draft } from '../../../electron/host/table.ts';
import { PlanView } from '../../../electron/host/table-plans.ts';
import { FakeBalance } from './fake-balance.ts';

let folder = '';
let store: Store;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-planning-'));
  store = openStore(folder);
  store.workshop.add(demoWorkshop());
});
afterEach(() => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

const place = (): PlanningPlace => ({
  workshop: store.workshop.read(),
  limits: limitsFor(null),
  today: '2026-11-25',
});
const view = (draft: Draft) => PlanView.parse(planView(draft, place()));
const sum = (masses: readonly string[]): number => masses.reduce((total, mass) => total + Number(mass), 0);

describe('the batch size of a draft', () => {
  it('by mass is the mass', () => {
    const { total, how } = view({ formula: 'hedge-bank-4', size: { by: 'mass', g: '12' } });
    expect([Number(total), how]).toEqual([12, null]);
  });

  it('by volume is told to be an estimate', () => {
    const { total, how } = view({ formula: 'hedge-bank-4', size: { by: 'volume', ml: '30' } });
    expect(Number(total)).toBeGreaterThan(30 * 0.78);
    expect(Number(total)).toBeLessThan(30 * 0.95);
    expect(how).toContain('estimate');
  });

  it('by stock names the bottle that runs out, which then holds just enough', () => {
    const { how, steps } = view({ formula: 'hedge-bank-4', size: { by: 'stock' } });
    const short = steps.find((step) => how?.includes(`(${step.lot})`));
    const stock = place().workshop.lots.find((lot) => lot.code === short?.lot)?.stock;
    expect(Number(short?.target)).toBeLessThanOrEqual(Number(stock));
    expect(Number(short?.target)).toBeGreaterThan(Number(stock) * 0.99);
  });

  it('by sureness makes every line sure, and a little less does not', () => {
    const { total, steps } = view({ formula: 'hedge-bank-4', size: { by: 'sure' } });
    expect(steps.every((step) => step.sureness === 'sure')).toBe(true);
    const less = view({ formula: 'hedge-bank-4', size: { by: 'mass', g: (Number(total) * 0.9).toFixed(2) } });
    expect(less.steps.some((step) => step.sureness !== 'sure')).toBe(true);
  });

  it('above the balance is split in parts that add up', () => {
    const { parts } = view({
      formula: 'hedge-bank-4',
      size: { by: 'mass', g: '400' },
      vessel: { mass: '60' },
    });
    expect(parts).toHaveLength(3);
    expect(sum(parts)).toBeCloseTo(400, 9);
  });
});

describe('a draft', () => {
  it('takes the bottle chosen by hand', () => {
    const chosen = view({ formula: 'vetiver-dilution-10', lots: { l1: 'VE-06' } });
    expect(chosen.steps.find((step) => step.line === 'l1')?.lot).toBe('VE-06');
  });

  it('keeps the order wanted and says what it costs', () => {
    const proposed = view({ formula: 'hedge-bank-4' }).steps.map((step) => step.line);
    const reversed = proposed.toReversed();
    const moved = view({ formula: 'hedge-bank-4', order: reversed });
    expect(moved.steps.map((step) => step.line)).toEqual(reversed);
    expect(moved.warnings.some((warning) => warning.what === 'order')).toBe(true);
  });

  it('shows its workings: fraction, bottle, window and uncertainty', () => {
    const [step] = view({ formula: 'hedge-bank-4' }).steps;
    const told = step?.workings.join('\n') ?? '';
    for (const word of ['The formula asks for', 'Bottle', 'Window', 'uncertainty', 'USP <41>'])
      expect(told).toContain(word);
  });
});

describe('a line too small to weigh', () => {
  const draft: Draft = { formula: 'cold-window-2' };
  const blind = () => view(draft).steps.find((step) => step.sureness === 'blind');

  it('has remedies in rank: a weaker bottle, a dilution, a larger batch, a finer balance', () => {
    const kinds = blind()?.remedies.map((one) => one.kind) ?? [];
    const rank = ['bottle', 'dilution', 'batch', 'balance'];
    expect(kinds.length).toBeGreaterThan(1);
    expect(kinds).toEqual(kinds.toSorted((a, b) => rank.indexOf(a) - rank.indexOf(b)));
  });

  it('applied, a larger batch or a weaker bottle makes it better', () => {
    const line = blind()?.line ?? '';
    for (const remedy of remediesOf(draw(draft, place()), line, place()))
      if (remedy.kind === 'bottle' || remedy.kind === 'batch') {
        const after = view(applyRemedy(draft, remedy, store.workshop)).steps.find(
          (step) => step.line === line,
        );
        expect(after?.sureness, remedy.text).toBe(remedy.sureness);
      }
  });

  it('waits for a dilution to make first, across a restart, and is planned again from it', async () => {
    const line = blind()?.line ?? '';
    const remedy = remediesOf(draw(draft, place()), line, place()).find((one) => one.kind === 'dilution');
    if (remedy === undefined) throw new Error('no dilution was offered');
    const first = applyRemedy(draft, remedy, store.workshop);
    store.close();
    store = openStore(folder);
    expect(pendingDilution(store.workshop)?.first).toBe(first.formula);
    const batch = await pourAll(first);
    const offer = shelfOffer(store.journal, store.workshop, batch);
    expect(offer.done).toBe(false);
    const back = shelve(store.journal, store.workshop, batch, offer);
    expect(back?.formula).toBe('cold-window-2');
    const step = view(back ?? draft).steps.find((one) => one.line === line);
    expect([step?.lot, step?.sureness]).toEqual([offer.code, 'sure']);
    expect(pendingDilution(store.workshop)).toBeNull();
    expect(shelfOffer(store.journal, store.workshop, batch).done).toBe(true);
    expect(() => shelve(store.journal, store.workshop, batch, { code: 'X', name: 'X' })).toThrow('already');
  });
});

/** Pours every line of a draft as planned, through the bench, and closes. */
async function pourAll(draft: Draft): Promise<string> {
  const balance = new FakeBalance();
  const bench = new Bench({ journal: store.journal, now: () => balance.at, newId: () => 'first' });
  await bench.attach(balance);
  const { formula, plan } = draw(draft, place());
  const { materials, lots } = place().workshop;
  bench.start({
    formula,
    materials,
    lots,
    planned: { plan, limits: limitsFor(null) },
    operator: 't',
    balance: { name: 't' },
  });
  let gross = 40;
  balance.rest(gross.toFixed(2));
  bench.do({ type: 'confirm-vessel', settled: bench.settling.settled });
  for (let state = bench.batch?.state; state !== undefined; state = bench.batch?.state) {
    const line = nextLine(state);
    if (line === null) break;
    bench.do({ type: 'confirm-bottle', how: 'by eye', settled: bench.settling.settled });
    gross += line.target.toNumber();
    balance.rest(gross.toFixed(2));
  }
  bench.do({ type: 'close', settled: bench.settling.settled });
  return 'first';
}
