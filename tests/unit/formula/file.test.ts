import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readFormulaFile, readMass } from '../../../core/formula/file.ts';
import { plan } from '../../../core/formula/plan.ts';
import { FormulaTrouble } from '../../../core/formula/trouble.ts';
import { SCHEMAS, schemaText } from '../../../electron/console/schemas.ts';
import { JEWELLERY } from './workshop.ts';

const ROOT = resolve(import.meta.dirname, '../../..');
const json = (path: string): unknown => JSON.parse(readFileSync(resolve(ROOT, path), 'utf8'));

const EXAMPLES = ['fixtures/formula-lavender-trial.json', 'fixtures/formula-dilution.json'];

/** A small whole file; `change` alters it before it is read. */
function file(change: (file: Record<string, unknown>) => void = () => {}): unknown {
  const whole = {
    format: 'pourwright formula 1',
    name: 'Two lines',
    batch: '30 g',
    tolerance: '1 %',
    lots: [
      { code: 'RO', name: 'Rose oil', composition: { rose: '1' } },
      { code: 'ET', name: 'Ethanol 96 % vol', composition: { ethanol: '0.938384', water: '0.061616' } },
    ],
    lines: [
      { material: 'rose', fraction: '0.05', lot: 'RO' },
      { material: 'ethanol', qs: true, lot: 'ET' },
    ],
  };
  change(whole);
  return whole;
}

/** Sets a field by its path, such as `lines[0].fraction`; undefined takes it away. */
const set = (path: string, value: unknown) => (whole: Record<string, unknown>) => {
  const parts = path.split(/[.[\]]+/).filter((part) => part !== '');
  const last = parts.pop() ?? '';
  let place = whole;
  for (const part of parts) place = place[part] as Record<string, unknown>;
  if (value === undefined) delete place[last];
  else place[last] = value;
};

function refusal(whole: unknown): string {
  try {
    readFormulaFile(whole);
  } catch (cause) {
    if (cause instanceof FormulaTrouble) return cause.message;
    throw cause;
  }
  return 'not refused';
}

describe('a formula file', () => {
  it.each(EXAMPLES)('%s is read and can be planned', (path) => {
    const { formula, materials, lots } = readFormulaFile(json(path));
    const made = plan(formula, materials, lots, JEWELLERY);
    expect(made.steps).toHaveLength(formula.lines.length);
    expect(made.steps.at(-1)?.qs).toBe(true);
  });

  it('keeps figures as written and turns units into grams', () => {
    const read = readFormulaFile(
      file((whole) => {
        set('batch', '0.0300 kg')(whole);
        set('lots[0].stock', '100.0 ct')(whole);
        set('lots[0].drop', '25 mg')(whole);
        set('lines[0].fraction', 0.05)(whole);
      }),
    );
    expect(read.formula.batch).toBe('30.0');
    expect(read.formula.tolerance).toBe('0.01');
    expect(read.lots[0]).toEqual({
      code: 'RO',
      name: 'Rose oil',
      composition: { rose: '1' },
      stock: '20.00',
      drop: '0.025',
    });
    expect(read.formula.lines).toEqual([
      { id: 'l1', material: 'rose', fraction: '0.05', lot: 'RO' },
      { id: 'l2', material: 'ethanol', qs: true, lot: 'ET' },
    ]);
    expect(read.formula.id).toBe('two-lines');
  });

  it('describes materials that are only named', () => {
    const { materials } = readFormulaFile(
      file(set('materials', [{ key: 'rose', note: 'heart', family: 'florals' }])),
    );
    expect(materials.map(({ key, name, kind, family, note }) => [key, name, kind, family, note])).toEqual([
      ['rose', 'Rose', 'neat', 'florals', 'heart'],
      ['ethanol', 'Ethanol', 'solvent', 'solvents', null],
      ['water', 'Water', 'solvent', 'solvents', null],
    ]);
    expect(materials[0]?.cautions).toEqual([expect.stringContaining('gloves')]);
  });

  it.each([
    ['30 g', '30'],
    ['30g', '30'],
    ['30.00 g', '30.00'],
    ['30', '30'],
    ['0.5 kg', '500'],
    ['500 mg', '0.500'],
    ['1 tael-tw', '37.5'],
  ])('takes "%s" for a batch of %s g', (text, grams) => {
    expect(readFormulaFile(file(set('batch', text))).formula.batch).toBe(grams);
    expect(readMass(text, '--batch')).toBe(grams);
  });
});

describe('a formula file that is refused names the field', () => {
  it.each<[string, unknown, RegExp]>([
    ['format', 'something else', /^format: "something else" is not "pourwright formula 1"/],
    ['name', undefined, /^name: is missing/],
    ['name', '  ', /^name: must hold one to 200 characters/],
    ['batch', undefined, /^batch: is missing\. Write the total mass/],
    ['batch', '30 drops', /^batch: "drops" is no unit of mass; known are g, kg/],
    ['batch', '1 tael', /^batch: "tael" is not one mass: there are several taels/],
    ['batch', '0 g', /^batch: 0 g is not above 0/],
    ['batch', '-3 g', /^batch: -3 g is not above 0/],
    ['batch', '3,5 g', /^batch: "3,5 g" is not a mass/],
    ['batch', 1e-9, /^batch: "1e-9" is not a mass/],
    ['batch', '999999999999999 kg', /^batch: "999999999999999 kg" has more digits than a mass/],
    ['tolerance', 1e-9, /^tolerance: 1e-9 is not a tolerance/],
    ['tolerance', '1', /^tolerance: 1 is not between 0 and 0\.5.*"0\.01" or "1 %"/],
    ['tolerance', '0', /^tolerance: 0 is not between/],
    ['tolerance', 'tight', /^tolerance: "tight" is not a tolerance/],
    ['lots', undefined, /^lots: is missing/],
    ['lots[0].code', 'ET', /lots\[1\]\.code: "ET" stands there already as lots\[0\]\.code/],
    [
      'lots[0].composition.rose',
      '0.9',
      /^lots\[0\]\.composition: the fractions of "RO" add up to 0\.9, not to 1/,
    ],
    ['lots[0].composition.rose', '-1', /^lots\[0\]\.composition\.rose: -1 is below 0/],
    ['lots[0].composition.rose', '1.01', /^lots\[0\]\.composition\.rose: 1\.01 is above 1/],
    [
      'lots[0].composition.rose',
      '5 %',
      /^lots\[0\]\.composition\.rose: "5 %" is not a fraction in decimal text/,
    ],
    ['lots[0].composition.rose', 1e-9, /^lots\[0\]\.composition\.rose: 1e-9 is not/],
    [
      'lots[0].uncertainty',
      { musk: '0.1' },
      /^lots\[0\]\.uncertainty\.musk: "musk" is not in the composition/,
    ],
    ['lots[0].bestBefore', '2027-02-30', /^lots\[0\]\.bestBefore: "2027-02-30" is not a date/],
    ['lots[0].stock', '-1 g', /^lots\[0\]\.stock: -1 g is too small/],
    ['lots[0].colour', 'red', /^lots\[0\]\.colour: is no field of a formula file/],
    ['tolerence', '0.01', /^tolerence: is no field of a formula file\. Correct its spelling/],
    ['lines', [], /^lines: holds no line/],
    ['lines[0].material', undefined, /^lines\[0\]\.material: is missing/],
    ['lines[0].fraction', '1.2', /^lines\[0\]\.fraction: 1\.2 is above 1/],
    ['lines[0].fraction', '-0.1', /^lines\[0\]\.fraction: -0\.1 is below 0/],
    ['lines[0].fraction', '0', /^lines\[0\]\.fraction: 0 is not above 0/],
    ['lines[0].fraction', 'five', /^lines\[0\]\.fraction: "five" is not a fraction in decimal text/],
    [
      'lines[0].fraction',
      undefined,
      /^lines\[0\]\.fraction: is missing\. Write the fraction of the batch, or "qs"/,
    ],
    ['lines[0].qs', true, /^lines\[0\]\.fraction: a q\.s\. line fills to the total and takes no fraction/],
    ['lines[0].lot', 'XX', /^lines\[0\]\.lot: there is no lot "XX" in the file\. .*RO, ET/],
    ['lines[0].lot', 'ET', /^lines\[0\]\.lot: "ET" does not contain "rose"; it holds ethanol, water/],
    ['lines[0].fractoin', '0.05', /lines\[0\]\.fractoin: is no field/],
    ['materials', [{ key: 'rose', cas: '8007-01-1' }], /^materials\[0\]\.cas: "8007-01-1" is not/],
    ['materials', [{ key: 'rose', kind: 'oil' }], /^materials\[0\]\.kind: "oil" is not neat or solvent/],
    ['materials', [{ key: 'rose' }, { key: 'rose' }], /^materials\[1\]\.key: "rose" stands there already/],
  ])('%s = %j', (path, value, message) => {
    expect(refusal(file(set(path, value)))).toMatch(message);
  });

  it('two q.s. lines', () => {
    const change = (whole: Record<string, unknown>) => {
      set('lines[0].fraction', undefined)(whole);
      set('lines[0].qs', true)(whole);
    };
    expect(refusal(file(change))).toMatch(/^lines\[1\]\.qs: lines\[0\] fills to the total already/);
  });

  it('a formula over 100 %', () => {
    const change = (whole: Record<string, unknown>) => {
      set('lines[0].fraction', '0.7')(whole);
      set('lines[1]', { material: 'ethanol', fraction: '0.5', lot: 'ET' })(whole);
    };
    expect(refusal(file(change))).toMatch(/^lines: the fractions add up to 1\.2: a formula over 100 %/);
  });

  it('a line twice, a line without any lot that holds its material', () => {
    expect(refusal(file(set('lines[2]', { material: 'rose', fraction: '0.1', lot: 'RO' })))).toMatch(
      /^lines\[2\]: "rose from RO" stands there already as lines\[0\]/,
    );
    expect(refusal(file(set('lines[2]', { material: 'iris', fraction: '0.1' })))).toMatch(
      /^lines\[2\]\.material: no lot in the file contains "iris"/,
    );
  });

  it('with all that is wrong at once', () => {
    const change = (whole: Record<string, unknown>) => {
      set('lines[0].fraction', '1.2')(whole);
      set('lots[1].composition.water', '0.5')(whole);
    };
    expect(refusal(file(change)).split('\n')).toHaveLength(2);
  });

  it('whatever it holds: nothing else is ever thrown', () => {
    const paths = [
      'format',
      'name',
      'batch',
      'tolerance',
      'materials',
      'lots',
      'lots[0].composition',
      'lots[0].stock',
      'lines',
      'lines[0]',
      'lines[0].fraction',
      'lines[1].qs',
    ];
    const values = fc.oneof(fc.jsonValue(), fc.stringMatching(/^-?\d{0,30}[.,]?\d{0,30} ?[a-z%]{0,4}$/));
    let refused = 0;
    fc.assert(
      fc.property(fc.constantFrom(...paths), values, (path, value) => {
        if (refusal(JSON.parse(JSON.stringify(file(set(path, value))))) !== 'not refused') refused += 1;
      }),
      { numRuns: 1000 },
    );
    expect(refused).toBeGreaterThan(500);
    fc.assert(fc.property(fc.jsonValue(), (value) => refusal(value) !== 'not refused'));
  });

  it('a part called __proto__ is a part like another', () => {
    const hostile: unknown = JSON.parse(
      JSON.stringify(file()).replace('{"rose":"1"}', '{"rose":"0.5","__proto__":"0.4"}'),
    );
    expect(refusal(hostile)).toMatch(/lots\[0\]\.composition/);
  });

  it.each([null, 3, 'text', [], undefined])('%j is no formula file', (whole) => {
    expect(refusal(whole)).not.toBe('not refused');
  });
});

describe('the schema of the formula file', () => {
  it.each(Object.entries(SCHEMAS))('%s is as the code makes it (if not: npm run schemas)', (path, schema) => {
    expect(readFileSync(resolve(ROOT, path), 'utf8')).toBe(schemaText(schema));
  });

  it('takes what is read and refuses what is misspelt', () => {
    const valid = new Ajv2020({ formats: { date: true } }).compile(
      json('core/formula/formula.schema.json') as object,
    );
    for (const path of EXAMPLES) expect(valid(json(path)), path).toBe(true);
    expect(valid(file())).toBe(true);
    expect(valid(file(set('tolerence', '0.01')))).toBe(false);
    expect(valid(file(set('lines[0].fraction', '5 %')))).toBe(false);
    expect(valid(file(set('batch', undefined)))).toBe(false);
  });
});
