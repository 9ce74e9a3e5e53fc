import { describe, expect, it } from 'vitest';
import {
  BLANK,
  draftingOf,
  draftOf,
  fieldOf,
  fractionText,
  volumeText,
} from '../../../renderer/state/drafting.ts';

describe('a share typed in per cent', () => {
  it('becomes a fraction without rounding', () => {
    expect(['100', '15', '1', '0.5', '0,001', '12.345 %', '150'].map(fractionText)).toEqual([
      '1.00',
      '0.15',
      '0.01',
      '0.005',
      '0.00001',
      '0.12345',
      '1.50',
    ]);
  });

  it('is refused when it is none', () => {
    expect(['', '-1', '1e2', 'all', '5 g'].map(fractionText)).toEqual(Array(5).fill(null));
  });
});

describe('a draft as typed', () => {
  it('asks for the size of the formula where nothing is typed', () => {
    expect(draftOf('f', BLANK)).toEqual({ draft: { formula: 'f' } });
  });

  it('holds what was typed and chosen, and comes back the same', () => {
    const typed = {
      by: 'volume',
      grams: '',
      millilitres: '7.5',
      vesselMass: '60',
      vesselCapacity: '',
      lots: { l1: 'A' },
      order: ['l2', 'l1'],
    } as const;
    const made = draftOf('f', typed);
    expect(made).toEqual({
      draft: {
        formula: 'f',
        size: { by: 'volume', ml: '7.5' },
        lots: { l1: 'A' },
        order: ['l2', 'l1'],
        vessel: { mass: '60' },
      },
    });
    if ('draft' in made) expect(draftingOf(made.draft)).toEqual(typed);
  });

  it('tells everything that is wrong, each at its field', () => {
    const made = draftOf('f', { ...BLANK, grams: 'much', vesselMass: '-1', vesselCapacity: 'x' });
    expect('wrong' in made && made.wrong.map((one) => one.field)).toEqual([
      'batch size',
      'vessel mass',
      'vessel capacity',
    ]);
  });

  it('knows which field the host means', () => {
    expect(['batch', 'volume', 'vessel', 'lines', null].map(fieldOf)).toEqual([
      'batch size',
      'batch size',
      'vessel mass',
      null,
      null,
    ]);
    expect(['30 mL', '7,5', '-1'].map(volumeText)).toEqual(['30', '7.5', null]);
  });
});
