import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { plan } from '../../../core/formula/plan.ts';
import { resolve, type Sources } from '../../../core/formula/resolve.ts';
import { sharesOf } from '../../../core/formula/shares.ts';
import { FormulaTrouble } from '../../../core/formula/trouble.ts';
import type { Formula, Lot, Material } from '../../../core/formula/types.ts';
import {
  type WrittenFormula,
  type WrittenLine,
  writtenAt,
  writtenOf,
} from '../../../core/formula/written.ts';
import { Decimal, decimal, plain } from '../../../core/quantity/decimal.ts';

const SOLVENTS = ['ethanol', 'dipropylene-glycol', 'water'];

function sources(accords: readonly WrittenFormula[] = [], lots: readonly Lot[] = []): Sources {
  return {
    accord: (id, version) => (version === 1 ? (accords.find((one) => one.id === id) ?? null) : null),
    lot: (code) => lots.find((one) => one.code === code) ?? null,
    madeBy: (lot) => lot.madeBy ?? null,
    nameOf: (material) => material,
    isSolvent: (material) => SOLVENTS.includes(material),
  };
}

const line = (
  id: string,
  material: string,
  figure?: string,
  unit: 'percent' | 'parts' | 'grams' = 'percent',
): WrittenLine => ({
  id,
  of: { material },
  ...(figure === undefined ? { qs: true as const } : { amount: { figure, unit } }),
});
const accord = (id: string, formula: string, figure: string): WrittenLine => ({
  id,
  of: { formula, version: 1 },
  amount: { figure, unit: 'percent' },
});
const formula = (
  id: string,
  lines: readonly WrittenLine[],
  more: Partial<WrittenFormula> = {},
): WrittenFormula => ({ id, name: id, batch: '30', tolerance: '0.01', lines: [...lines], ...more });

const fractions = (made: Formula): Record<string, string> =>
  Object.fromEntries(made.lines.map((one) => [one.material, one.fraction ?? 'q.s.']));

function problemsOf(act: () => unknown): FormulaTrouble['problems'] {
  try {
    act();
  } catch (cause) {
    if (cause instanceof FormulaTrouble) return cause.problems;
    throw cause;
  }
  throw new Error('nothing was refused');
}

describe('lines of a written formula', () => {
  it('are per cent, grams and parts of one batch', () => {
    const written = formula(
      'f',
      [line('a', 'rose', '10'), line('b', 'iris', '1.5', 'grams'), line('c', 'ethanol')],
      {},
    );
    expect(fractions(resolve(written, sources()).formula)).toEqual({
      rose: '0.1',
      iris: '0.05',
      ethanol: 'q.s.',
    });
  });

  it('in parts share out what the others leave, or are counted of so many', () => {
    const lines = [line('a', 'rose', '25'), line('b', 'iris', '2', 'parts'), line('c', 'musk', '1', 'parts')];
    expect(fractions(resolve(formula('f', lines), sources()).formula)).toEqual({
      rose: '0.25',
      iris: '0.5',
      musk: '0.25',
    });
    const filled = formula('f', [line('b', 'iris', '2', 'parts'), line('c', 'ethanol')]);
    expect(problemsOf(() => resolve(filled, sources()))[0]?.field).toBe('partsOf');
    expect(fractions(resolve({ ...filled, partsOf: '100' }, sources()).formula).iris).toBe('0.02');
    const none = [line('a', 'rose', '100'), line('b', 'iris', '2', 'parts')];
    expect(problemsOf(() => resolve(formula('f', none), sources()))[0]?.what).toContain('leave nothing');
  });

  it('of a named dilution state its neat part, and its solvent fills', () => {
    const tenth = { strength: '0.1', solvent: 'ethanol' };
    const written = formula('f', [
      { ...line('a', 'rose', '10', 'grams'), dilution: tenth },
      line('b', 'iris', '20', 'grams'),
    ]);
    const made = resolve(written, sources());
    expect(made.formula.lines.at(-1)).toEqual({ id: 'fill', material: 'ethanol', qs: true });
    expect(Number(fractions(made.formula).rose)).toBeCloseTo(1 / 30, 15);
    expect(made.words.join(' ')).toContain('ethanol fills to the whole');
  });

  it('over or under the whole are told with what to do', () => {
    const over = sharesOf(formula('f', [line('a', 'rose', '54'), line('b', 'iris', '15', 'grams')]));
    expect(over.problems[0]).toMatchObject({
      field: 'lines',
      what: 'the lines add up to 104 %, 4 % too much',
      next: 'Lower lines by 4 % of the batch in all, or raise the batch to 31.2 g.',
    });
    expect(sharesOf(formula('f', [line('a', 'rose', '96')])).problems[0]?.what).toContain('4 % are missing');
    expect(
      sharesOf(formula('f', [line('a', 'rose', '100'), line('b', 'ethanol')])).problems[0]?.what,
    ).toContain('nothing for the q.s. line');
    expect(sharesOf(formula('f', [line('a', 'rose', '0'), line('b', 'ethanol')])).problems[0]).toMatchObject({
      field: 'line a amount',
    });
  });
});

const base = formula('base', [
  line('m', 'musk', '40'),
  line('r', 'rose', '10'),
  line('q', 'dipropylene-glycol'),
]);
const floral = formula('floral', [accord('b', 'base', '50'), line('i', 'iris', '20'), line('q', 'ethanol')]);
const top = formula('top', [accord('f', 'floral', '20'), line('r', 'rose', '3'), line('q', 'ethanol')]);

describe('accords', () => {
  it('are opened to any depth, and one material from several joins and says how', () => {
    const made = resolve(top, sources([base, floral]));
    expect(fractions(made.formula)).toEqual({
      rose: '0.04',
      musk: '0.04',
      'dipropylene-glycol': '0.05',
      iris: '0.04',
      ethanol: 'q.s.',
    });
    expect(made.words).toContain('rose 4 %: 1 % from floral, 3 % by a line of its own.');
    expect(made.words).toContain('6 % of ethanol that other lines ask for is part of the q.s. line.');
  });

  it('that contain the formula itself are refused with the way named', () => {
    const loop = formula('base', [accord('t', 'top', '10'), line('q', 'ethanol')]);
    const [first] = problemsOf(() => resolve(loop, sources([loop, floral, top])));
    expect(first?.field).toBe('line t of');
    expect(first?.what).toBe('it would be made of itself: base from top from floral from base');
    const self = formula('s', [accord('x', 's', '10'), line('q', 'ethanol')]);
    expect(problemsOf(() => resolve(self, sources([self])))[0]?.what).toBe(
      'it would be made of itself: s from s',
    );
    const lost = formula('s', [accord('x', 'gone', '10'), line('q', 'ethanol')]);
    expect(problemsOf(() => resolve(lost, sources()))[0]?.what).toContain('no version 1');
  });

  it('nested two hundred deep come out as one', () => {
    const chain = Array.from({ length: 200 }, (_, at) =>
      at === 0
        ? formula('c0', [line('a', 'rose', '50'), line('q', 'ethanol')])
        : formula(`c${at}`, [accord('a', `c${at - 1}`, '100')]),
    );
    const last = chain.at(-1);
    if (last === undefined) throw new Error('no chain');
    expect(fractions(resolve(last, sources(chain)).formula)).toEqual({ rose: '0.5', ethanol: '0.5' });
  });
});

const percentArb = fc.integer({ min: 1, max: 3000 }).map((n) => n / 100);
const mixArb = fc.array(percentArb, { minLength: 1, maxLength: 3 });
const KEYS = ['rose', 'iris', 'musk', 'cedar'];

describe('any nesting', () => {
  it('equals the flat formula, and sums to one', () => {
    fc.assert(
      fc.property(fc.array(mixArb, { minLength: 1, maxLength: 6 }), percentArb, (levels, share) => {
        let flat = new Map<string, Decimal>();
        const all: WrittenFormula[] = [];
        for (const [level, figures] of levels.entries()) {
          const scale = level === 0 ? new Decimal(0) : new Decimal(share).div(100);
          const next = new Map([...flat].map(([key, value]) => [key, value.times(scale)]));
          const lines = figures.map((figure, at) => {
            const key = KEYS[(at + level) % KEYS.length] ?? 'rose';
            const part = new Decimal(figure).div(100 * figures.length).toDecimalPlaces(12);
            next.set(key, (next.get(key) ?? new Decimal(0)).plus(part));
            return line(`l${at}`, key, plain(part.times(100)));
          });
          if (level > 0) lines.push(accord('acc', `f${level - 1}`, String(share)));
          const sum = [...next.values()].reduce((total, one) => total.plus(one), new Decimal(0));
          const fillShare = new Decimal(1).minus(
            [...next].reduce(
              (total, [key, one]) => (key === 'ethanol' ? total : total.plus(one)),
              new Decimal(0),
            ),
          );
          if (sum.minus(next.get('ethanol') ?? 0).gte(1)) return;
          next.set('ethanol', fillShare);
          all.push(formula(`f${level}`, [...lines, line('q', 'ethanol')]));
          flat = next;
        }
        const last = all.at(-1);
        if (last === undefined) throw new Error('no formula');
        const { formula: made } = resolve(last, sources(all));
        let sum = new Decimal(0);
        for (const one of made.lines) {
          if (one.fraction === undefined) continue;
          sum = sum.plus(one.fraction);
          expect(
            decimal(one.fraction)
              .minus(flat.get(one.material) ?? 0)
              .abs()
              .lt('1e-15'),
          ).toBe(true);
        }
        expect(
          sum
            .plus(flat.get('ethanol') ?? 0)
            .minus(1)
            .abs()
            .lt('1e-15'),
        ).toBe(true);
        const unfilled = formula('whole', [accord('w', last.id, '100')]);
        const total = resolve(unfilled, sources(all)).formula.lines.reduce(
          (all, one) => all.plus(one.fraction ?? '0'),
          new Decimal(0),
        );
        expect(total.minus(1).abs().lt('1e-15')).toBe(true);
      }),
      { numRuns: 100 },
    );
  });

  it('comes back from what is written of it', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 10 ** 9 }), { minLength: 1, maxLength: 9 }), (given) => {
        const whole = given.reduce((sum, one) => sum + one, 10 ** 9);
        const first: Formula = {
          id: 'f',
          name: 'Back again',
          batch: '12.50',
          tolerance: '0.01',
          lines: [
            ...given.map((one, at) => ({
              id: `l${at}`,
              material: `m${at}`,
              fraction: plain(new Decimal(one).div(whole).toDecimalPlaces(20)),
              ...(at === 0 ? { lot: 'L-1' } : {}),
            })),
            { id: 'q', material: 'ethanol', qs: true },
          ],
        };
        expect(resolve(writtenOf(first), sources()).formula).toEqual(first);
      }),
    );
  });

  it('keeps its shares at another batch', () => {
    const written = formula('f', [line('a', 'rose', '1.23', 'grams'), line('q', 'ethanol')]);
    const other = writtenAt(written, '75');
    expect(other.lines[0]?.amount?.figure).toBe('3.075');
    expect(fractions(resolve(other, sources()).formula)).toEqual(
      fractions(resolve(written, sources()).formula),
    );
  });
});

const neat = (key: string): Material => ({ key, name: key, note: null, family: 'x', kind: 'neat' });
const solvent = (key: string): Material => ({ ...neat(key), kind: 'solvent' });
const MATERIALS = [...KEYS.map(neat), ...SOLVENTS.map(solvent)];
const lot = (code: string, composition: Record<string, string>, madeBy?: string): Lot => ({
  code,
  name: code,
  composition,
  ...(madeBy === undefined ? {} : { madeBy }),
});
const LOTS = [
  ...KEYS.map((key) => lot(key.toUpperCase(), { [key]: '1' })),
  lot('E96', { ethanol: '0.938384', water: '0.061616' }),
  lot('DPG', { 'dipropylene-glycol': '1' }),
  lot('BASE-1', { musk: '0.391', rose: '0.108', 'dipropylene-glycol': '0.501' }, 'base'),
  lot('FL-1', { musk: '0.2', rose: '0.05', iris: '0.21', ethanol: '0.5', water: '0.04' }, 'floral'),
];
const BALANCE = { d: '0.01', s: '0.0041', c: '0.0001', capacity: '200' };

function poured(written: WrittenFormula): Record<string, number> {
  const { formula: made } = resolve(written, sources([base, floral], LOTS));
  const planned = plan(made, MATERIALS, LOTS, BALANCE);
  return Object.fromEntries(planned.steps.map((step) => [step.lot, Number(step.target)]));
}

describe('an accord from its own bottle', () => {
  it('is one pour of its share, and what is asked beside it comes on top', () => {
    const written = formula('p', [
      { ...accord('b', 'base', '10'), lot: 'BASE-1' },
      line('r', 'rose', '3'),
      line('q', 'ethanol'),
    ]);
    const made = poured(written);
    expect(made['BASE-1']).toBeCloseTo(3, 9);
    expect(made.ROSE).toBeCloseTo(0.9, 9);
    expect(made.E96).toBeCloseTo(26.1, 9);
    expect(Object.keys(made)).toHaveLength(3);
  });

  it('stands beside another accord from a bottle that shares its materials', () => {
    const made = poured(
      formula('p', [
        { ...accord('b', 'base', '10'), lot: 'BASE-1' },
        { ...accord('f', 'floral', '20'), lot: 'FL-1' },
        line('m', 'musk', '2'),
        line('q', 'ethanol'),
      ]),
    );
    expect(made['BASE-1']).toBeCloseTo(3, 9);
    expect(made['FL-1']).toBeCloseTo(6, 9);
    expect(made.MUSK).toBeCloseTo(0.6, 9);
    expect(made.E96).toBeCloseTo(20.4, 9);
  });

  it('needs no line that fills', () => {
    const made = poured(
      formula('p', [
        { ...accord('b', 'base', '40'), lot: 'BASE-1' },
        line('r', 'rose', '25'),
        line('i', 'iris', '35'),
      ]),
    );
    expect(made['BASE-1']).toBeCloseTo(12, 9);
    expect(made.ROSE).toBeCloseTo(7.5, 9);
    expect(made.IRIS).toBeCloseTo(10.5, 9);
  });

  it('is refused when it was not made by this accord, or is not there', () => {
    const wrong = (code: string) =>
      problemsOf(() =>
        resolve(
          formula('p', [{ ...accord('b', 'base', '10'), lot: code }, line('q', 'ethanol')]),
          sources([base, floral], LOTS),
        ),
      )[0];
    expect(wrong('FL-1')?.what).toContain('was not made by this accord');
    expect(wrong('NONE')).toMatchObject({ field: 'line b lot', what: 'there is no lot "NONE"' });
  });
});
