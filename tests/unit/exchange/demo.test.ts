import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { isCas } from '../../../core/formula/cas.ts';
import type { Lot } from '../../../core/formula/types.ts';
import { accordsOf } from '../../../core/formula/written.ts';
import { Decimal, decimal } from '../../../core/quantity/decimal.ts';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { loadDemo } from '../../../electron/host/exchange/first-run.ts';
import { limitsFor } from '../../../electron/host/limits.ts';
import { SHELVES } from '../../../electron/host/organ.ts';
import { type Drawn, draw, type PlanningPlace } from '../../../electron/host/planning.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { testFolder } from '../store/given.ts';

const TODAY = '2026-11-25';
const demo = demoWorkshop();
const folder = testFolder();
let store: Store;
let place: PlanningPlace;
beforeAll(() => {
  store = openStore(folder.path);
  loadDemo(store, `${TODAY}T08:00:00.000Z`);
  place = { workshop: store.workshop.read(), limits: limitsFor(null), today: TODAY };
});
afterAll(() => {
  store.close();
  folder.remove();
});

const planned = (formula: string): Drawn => draw({ formula }, place);
const stepsOf = (formula: string) => planned(formula).plan.steps;
const keys = new Set(demo.materials.map((one) => one.key));
const solids = new Set(demo.materials.filter((one) => one.solid).map((one) => one.key));
const once = (all: readonly string[]): boolean => new Set(all).size === all.length;

describe('the materials of the demo', () => {
  it('are about 60, each once, on the shelves of the Organ, with sound numbers', () => {
    expect(demo.materials.length).toBeGreaterThanOrEqual(58);
    expect(once(demo.materials.map((one) => one.key))).toBe(true);
    expect(once(demo.materials.map((one) => one.name))).toBe(true);
    for (const one of demo.materials) {
      expect([...SHELVES, 'solvents'], one.key).toContain(one.family);
      expect(one.family === 'solvents', one.key).toBe(one.kind === 'solvent');
      expect(one.note === null, one.key).toBe(one.kind === 'solvent');
      expect(isCas(one.cas ?? ''), `${one.key} ${one.cas}`).toBe(true);
      const density = Number(one.density);
      expect(density > 0.7 && density < 1.4, `${one.key} ${one.density}`).toBe(true);
      for (const part of one.constituents ?? []) expect(isCas(part.cas ?? ''), part.name).toBe(true);
    }
    expect(once(demo.materials.map((one) => one.cas ?? ''))).toBe(true);
  });

  it('say that their limits are invented', () => {
    const limited = demo.materials.filter((one) => one.limit !== undefined);
    expect(limited.length).toBeGreaterThan(5);
    for (const one of limited) expect(one.limit?.document).toMatch(/^Invented for the demo/);
  });
});

describe('the lots of the demo', () => {
  const sum = (lot: Lot): string =>
    Decimal.sum(...Object.values(lot.composition).map((one) => decimal(one))).toFixed();
  const strength = (lot: Lot): number =>
    Math.max(...Object.entries(lot.composition).map(([key, of]) => (keys.has(key) ? Number(of) : 0)));

  it('add up to one, of materials that are there, each code once', () => {
    expect(once(demo.lots.map((one) => one.code))).toBe(true);
    for (const lot of demo.lots) {
      expect(sum(lot), lot.code).toBe('1');
      for (const key of Object.keys(lot.composition)) expect(keys.has(key), `${lot.code} ${key}`).toBe(true);
      for (const key of Object.keys(lot.uncertainty ?? {}))
        expect(Object.keys(lot.composition), lot.code).toContain(key);
      expect(Number(lot.stock) > 0 && Number(lot.drop) > 0 && Number(lot.price) >= 0, lot.code).toBe(true);
      expect(lot.bestBefore ?? '', lot.code).toMatch(/^20\d\d-\d\d-\d\d$/);
      expect(strength(lot), lot.code).toBeGreaterThan(0);
    }
  });

  it('have a bottle for every material but the benzoin, labdanum and tolu that come as dilutions', () => {
    const neat = new Set(
      demo.lots.flatMap((lot) => {
        const [first, ...more] = Object.entries(lot.composition);
        return first !== undefined && more.length === 0 ? [first[0]] : [];
      }),
    );
    const diluted = [...keys].filter((key) => !neat.has(key)).sort();
    expect(diluted).toEqual(['benzoin', 'ethanol', 'labdanum', 'omega-pentadecanolide', 'tolu']);
  });

  it('name a dilution by its true strength', () => {
    const told = demo.lots.filter((lot) => / % in /.test(lot.name));
    expect(told.length).toBeGreaterThan(20);
    for (const lot of told) {
      const [first] = Object.values(lot.composition);
      expect(Number(/([\d.]+) % in/.exec(lot.name)?.[1]), lot.code).toBeCloseTo(Number(first) * 100, 6);
    }
    expect(demo.lots.find((lot) => lot.code === 'PA-05-10')?.name).toContain('9.6 %');
  });

  it('hold one that is past its best, one that soon will be, and one that runs low', () => {
    const best = demo.lots.map((lot) => lot.bestBefore ?? '').sort();
    expect(best[0] !== undefined && best[0] < TODAY).toBe(true);
    expect(best.filter((one) => one >= TODAY && one < '2027-01-01').length).toBeGreaterThan(0);
    expect(demo.lots.filter((lot) => Number(lot.stock) < 2).map((lot) => lot.code)).toContain('RO-03');
  });
});

describe('the formulas of the demo', () => {
  const all = () => place.workshop.formulas;

  it('are twelve, and every one can be planned with the bottles at hand', () => {
    expect(all().length).toBe(12);
    expect(demo.formulas.length + demo.written.length).toBe(12);
    for (const { id, batch } of all()) {
      const { plan } = planned(id);
      expect(Number(plan.total), id).toBe(Number(batch));
      const masses = plan.steps.map((step) => decimal(step.target));
      expect(
        Decimal.sum(...masses)
          .minus(plan.total)
          .abs()
          .toNumber(),
        id,
      ).toBeLessThan(0.02);
      const short = plan.warnings.filter((one) => /stock/.test(one.what));
      expect(short, id).toEqual([]);
    }
  });

  it('have an accord in an accord', () => {
    const stair = demo.written.find((one) => one.id === 'garden-stair-5');
    const inside = (stair === undefined ? [] : accordsOf(stair)).flatMap(({ formula }) => {
      const accord = demo.written.find((one) => one.id === formula);
      return accord === undefined ? [] : accordsOf(accord).map((one) => one.formula);
    });
    expect(inside).toEqual(['warm-plank-accord-1']);
    expect(stepsOf('garden-stair-5').map((step) => step.material)).toContain('sandalwood');
  });

  it('have one that wants less than 0.01 g of a potent material, which the balance cannot see', () => {
    const step = stepsOf('pin-prick-1').find((one) => one.material === 'beta-damascenone');
    expect(Number(step?.target)).toBeLessThan(0.01);
    expect(step?.sureness).toBe('blind');
  });

  it('have solids poured as they are, dilutions by name, and a client batch with a narrow window', () => {
    const powder = stepsOf('powder-box-2').filter((one) => one.solid);
    expect(powder.map((one) => one.material).sort()).toContain('coumarin');
    expect(powder.every((one) => solids.has(one.material))).toBe(true);
    expect(demo.written.some((one) => one.lines.some((line) => line.dilution !== undefined))).toBe(true);
    const client = all().find((one) => /client/.test(one.name));
    expect([client?.batch, client?.tolerance]).toEqual(['100.00', '0.005']);
    const units = new Set(
      demo.written.flatMap((one) => one.lines.flatMap(({ amount }) => (amount ? [amount.unit] : []))),
    );
    expect([...units].sort()).toEqual(['grams', 'parts', 'percent']);
  });

  it('have an eau that is more than 80 per cent ethanol by mass', () => {
    const { steps, total } = planned('morning-tap-eau-3').plan;
    const lots = new Map(place.workshop.lots.map((lot) => [lot.code, lot]));
    const ethanol = steps.reduce(
      (sum, step) => sum + Number(step.target) * Number(lots.get(step.lot)?.composition.ethanol ?? 0),
      0,
    );
    expect(ethanol / Number(total)).toBeGreaterThan(0.8);
  });
});
