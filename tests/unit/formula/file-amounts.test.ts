import { describe, expect, it } from 'vitest';
import { readFormulaFile } from '../../../core/formula/file.ts';
import { FormulaTrouble } from '../../../core/formula/trouble.ts';

const lots = [
  { code: 'RO', name: 'Rose absolute', composition: { rose: '1' } },
  { code: 'CE', name: 'Cedarwood oil', composition: { cedar: '1' } },
  { code: 'ET', name: 'Ethanol', composition: { ethanol: '1' } },
];

const file = (lines: object[], more: object = {}) => ({
  format: 'pourwright formula 1',
  name: 'Notebook page',
  batch: '20 g',
  tolerance: '1 %',
  lots,
  lines,
  ...more,
});

const fractions = (json: unknown) =>
  readFormulaFile(json).formula.lines.map((line) => [line.material, line.fraction ?? 'q.s.']);

const problems = (json: unknown): string => {
  try {
    readFormulaFile(json);
  } catch (cause) {
    if (cause instanceof FormulaTrouble) return cause.message;
    throw cause;
  }
  return '';
};

describe('lines that state amounts', () => {
  it('in grams become fractions of their sum', () => {
    const json = file([
      { material: 'rose', amount: '1 g' },
      { material: 'cedar', amount: '500 mg' },
      { material: 'ethanol', amount: '8.5 g' },
    ]);
    expect(fractions(json)).toEqual([
      ['rose', '0.1'],
      ['cedar', '0.05'],
      ['ethanol', '0.85'],
    ]);
  });

  it('in parts with a q.s. line fill to the parts in all, and it is said why grams', () => {
    const json = file(
      [
        { material: 'rose', amount: '3 parts' },
        { material: 'ethanol', qs: true },
      ],
      { total: '12 parts' },
    );
    expect(fractions(json)).toEqual([
      ['rose', '0.25'],
      ['ethanol', 'q.s.'],
    ]);
    expect(readFormulaFile(json).words.join(' ')).toContain('weighed');
  });

  it('of a named dilution count its neat part, and any bottle of the material will do', () => {
    const json = file([
      { material: 'rose', amount: '2 g', dilution: { strength: '0.1', solvent: 'ethanol' } },
      { material: 'ethanol', qs: true },
    ]);
    expect(fractions(json)).toEqual([
      ['rose', '0.01'],
      ['ethanol', 'q.s.'],
    ]);
  });

  it.each([
    ['drops', [{ material: 'rose', amount: '3 drops' }], /drop has no fixed mass/],
    ['a volume', [{ material: 'rose', amount: '3 ml' }], /volume has no fixed mass/],
    ['both', [{ material: 'rose', amount: '3 g', fraction: '0.1' }], /beside a fraction/],
    [
      'one without',
      [
        { material: 'rose', amount: '3 g' },
        { material: 'cedar', fraction: '0.1' },
      ],
      /missing/,
    ],
    ['no figure', [{ material: 'rose', amount: 'some' }], /no amount/],
    [
      'more than the batch',
      [
        { material: 'rose', amount: '30 g' },
        { material: 'ethanol', qs: true },
      ],
      /more than the total/,
    ],
  ])('%s: refused with what is wrong', (_, lines, what) => {
    expect(problems(file(lines))).toMatch(what);
  });
});
