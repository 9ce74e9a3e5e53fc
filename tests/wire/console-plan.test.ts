import { describe, it } from 'vitest';
import { UNKNOWN } from '../../electron/host/care/profile.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { consoleRun, folder, formula, formulaFile, type Line } from './console-run.ts';

interface Step {
  readonly line: string;
  readonly lot: string;
  readonly target_g: string;
  readonly window_g: readonly [string, string];
  readonly sureness: string;
}

const stocked = formula.lots.map((lot) => ({ ...lot, stock: '100 g' }));

/** A workshop whose typed balance was measured: s is coarser than the floor of its readability. */
function workshopWith(s: string, folder: string): string {
  const store = openStore(folder);
  store.workshop.set('balance', JSON.stringify({ kind: 'typed' }));
  store.care.keepProfile('typed', JSON.stringify({ ...UNKNOWN, name: 'by the window', capacity: '300' }));
  const body = {
    order: { kind: 'repeatability', load: null, n: 10 },
    balance: { d: '0.01', capacity: '300', e: null, balanceClass: null },
    name: 'by the window',
    serial: '',
    taken: [],
    samples: [],
    result: {
      verdict: 'pass',
      text: 'measured',
      rows: [],
      rules: [],
      main: { what: 's', g: s, low: null, high: null },
      s: { g: s, u: '0.001', n: 10 },
    },
  };
  const at = '2026-11-20T09:00:00.000Z';
  store.care.addCheck({ profile: 'typed', at, kind: 'repeatability', body: JSON.stringify(body) });
  store.close();
  return folder;
}

const stepsOf = (line: Line | undefined): Step[] => (line?.steps ?? []) as Step[];

describe.concurrent('plan', { timeout: 60_000 }, () => {
  it('says lot, target, window and sureness of each step', async ({ expect, onTestFinished }) => {
    const run = consoleRun(onTestFinished, ['plan', '--formula', formulaFile(folder(onTestFinished))]);
    expect(await run.ended, run.words()).toBe(0);
    expect(run.lines).toHaveLength(1);
    const [plan] = run.lines;
    expect(plan).toMatchObject({
      formula: 'Window sill',
      total_g: '12',
      tolerance: '0.01',
      readability_g: '0.01',
      balance: { d_g: '0.01', s_g: '0.0041', capacity_g: '200' },
    });
    expect(run.words()).toMatch(/d = 0\.01 g, s = 0\.0041 g, capacity 200 g.+usual limits/);
    const step = (line: string) => stepsOf(plan).find((one) => one.line === line);
    /* 0.15 x 12 g of the neat oil; half-window one per cent. */
    expect(step('lavender')).toMatchObject({
      lot: 'LA',
      target_g: '1.8',
      window_g: ['1.782', '1.818'],
      sureness: 'sure',
    });
    /* 0.01 x 12 g / 0.0994. */
    expect(step('vetiver')).toMatchObject({ lot: 'VE', target_g: '1.207243', sureness: 'sure' });
    expect(step('ethanol')).toMatchObject({ lot: 'ET' });
    const total = stepsOf(plan).reduce((sum, one) => sum + Number(one.target_g), 0);
    expect(total).toBeCloseTo(12, 5);
    expect(stepsOf(plan).at(-1)?.line).toBe('ethanol');
  });

  it('is for the balance of a workshop where one is named: what was measured of it counts', async ({
    expect,
    onTestFinished,
  }) => {
    const where = folder(onTestFinished);
    const file = formulaFile(where);
    const run = consoleRun(onTestFinished, [
      'plan',
      '--formula',
      file,
      '--database',
      workshopWith('0.012', where),
    ]);
    expect(await run.ended, run.words()).toBe(0);
    const [plan] = run.lines;
    expect(plan?.balance).toMatchObject({
      is: 'the balance of bench 1, by the window',
      d_g: '0.01',
      s_g: '0.012',
      capacity_g: '300',
      from: { s: expect.stringContaining('latest repeatability run'), capacity: 'as entered' },
    });
    expect(run.words()).toMatch(/s = 0\.012 g, capacity 300 g.+by the window/);
    /* 1.8 g to 1 %: 2u = 0.024 g is more than the half-window of 0.018 g, which by the usual limits is sure. */
    expect(stepsOf(plan).find((one) => one.line === 'lavender')?.sureness).toBe('coarse');
  });

  it.for([
    ['--volume', '30', /estimate/],
    ['--by-stock', null, /runs out first/],
    ['--smallest-sure', null, /weighs every line surely/],
  ] as const)(
    'finds the batch size by %s and says how',
    async ([flag, value, how], { expect, onTestFinished }) => {
      const file = formulaFile(folder(onTestFinished), { ...formula, lots: stocked });
      const run = consoleRun(onTestFinished, [
        'plan',
        '--formula',
        file,
        flag,
        ...(value === null ? [] : [value]),
      ]);
      expect(await run.ended, run.words()).toBe(0);
      expect(run.lines[0]?.size).toMatch(how);
    },
  );

  it('explains every step where it is asked to', async ({ expect, onTestFinished }) => {
    const file = formulaFile(folder(onTestFinished));
    const run = consoleRun(onTestFinished, ['plan', '--formula', file, '--explain', '--batch', '3g']);
    expect(await run.ended, run.words()).toBe(0);
    const steps = (run.lines[0]?.steps ?? []) as { workings: string[]; remedies: { kind: string }[] }[];
    for (const step of steps) expect(step.workings.join(' ')).toMatch(/Window.+uncertainty/);
    expect(steps.flatMap((step) => step.remedies).map((one) => one.kind)).toContain('batch');
  });

  it.for([
    ['30g', '4.5'],
    ['0.03 kg', '4.5'],
  ] as const)('scales to --batch %s', async ([batch, target], { expect, onTestFinished }) => {
    const file = formulaFile(folder(onTestFinished));
    const run = consoleRun(onTestFinished, ['plan', '--formula', file, '--batch', batch]);
    expect(await run.ended, run.words()).toBe(0);
    expect(stepsOf(run.lines[0]).find((one) => one.line === 'lavender')?.target_g).toBe(target);
  });
});

const lines = (...changed: object[]) => ({ ...formula, lines: changed });
const [lavender, vetiver, ethanol] = formula.lines;

describe.concurrent('a formula that cannot be used', { timeout: 60_000 }, () => {
  it.for<[string, unknown, string[], RegExp, RegExp]>([
    [
      'over 100 %',
      lines({ ...lavender, fraction: '0.95' }, { ...vetiver, fraction: '0.1' }, { ...ethanol }),
      [],
      /105|1\.05/,
      /lines/,
    ],
    ['a lot that is missing', lines({ ...lavender, lot: 'XX' }, { ...ethanol }), [], /XX/, /lines\[0\]\.lot/],
    [
      'a lot whose parts are not one',
      { ...formula, lots: [{ code: 'A', name: 'A', composition: { lavender: '0.9' } }] },
      [],
      /0\.9/,
      /lots\[0\]/,
    ],
    ['no JSON', '{ "name": ', [], /not JSON/, /formula\.json/],
    ['a field that is missing', { ...formula, batch: undefined }, [], /missing/, /batch/],
    ['a mass of an unknown unit', formula, ['--batch', '30 zz'], /zz/, /--batch/],
    ['a batch of nothing', formula, ['--batch', '0g'], /above 0/, /--batch/],
    ['a volume that is none', formula, ['--volume', 'full'], /no volume/, /--volume/],
    ['a bench of no workshop', formula, ['--bench', '2'], /none is named/, /--bench/],
    ['a workshop that is not there', formula, ['--database', 'nowhere'], /no such folder/, /nowhere/],
    ['two sizes at once', formula, ['--batch', '3g', '--by-stock'], /cannot be used with/, /command line/],
  ])(
    '%s: says what, where and next, and ends with 2',
    async ([, content, args, what, where], { expect, onTestFinished }) => {
      const file = formulaFile(folder(onTestFinished), content);
      const run = consoleRun(onTestFinished, ['plan', '--formula', file, ...args]);
      expect(await run.ended, run.words()).toBe(2);
      expect(run.lines).toEqual([]);
      expect(run.words()).toMatch(/^what: .+\nwhere: .+\nnext: .+\n/);
      expect(run.words()).toMatch(what);
      expect(run.words()).toMatch(where);
    },
  );

  it('is not poured either: nothing is stored', async ({ expect, onTestFinished }) => {
    const where = folder(onTestFinished);
    const file = formulaFile(where, lines({ ...lavender, lot: 'XX' }, { ...ethanol }));
    const run = consoleRun(onTestFinished, [
      'pour',
      '--formula',
      file,
      '--port',
      'simulated',
      '--out',
      `${where}/out`,
    ]);
    expect(await run.ended).toBe(2);
    expect(run.words()).toMatch(/XX/);
  });
});
