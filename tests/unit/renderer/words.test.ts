import { signal } from '@preact/signals';
import { describe, expect, it } from 'vitest';
import { dropText } from '../../../renderer/figures/drop.ts';
import { momentText } from '../../../renderer/figures/moment.ts';
import { placeText } from '../../../renderer/figures/place.ts';
import { tied } from '../../../renderer/figures/tied.ts';
import { massText } from '../../../renderer/state/drafting.ts';
import { remember, sheet } from '../../../renderer/state/preferences.ts';
import { fragmentOf, readRoute } from '../../../renderer/state/route.ts';
import { steady } from '../../../renderer/state/steady.ts';

describe('what is typed and read', () => {
  it('takes a mass with point or comma, with or without its unit', () => {
    expect(['30', ' 12.5 ', '12,5', '30 g', '0.100'].map(massText)).toEqual([
      '30',
      '12.5',
      '12.5',
      '30',
      '0.100',
    ]);
  });

  it('takes nothing else for a mass', () => {
    expect(['', 'a lot', '-3', '1e3', '1,000.5', '12.'].map(massText)).toEqual(Array(6).fill(null));
  });

  it('writes a drop in milligrams', () => {
    expect([dropText('0.024'), dropText('0.005'), dropText('0.0105')]).toEqual(['24 mg', '5.0 mg', '11 mg']);
  });

  it('shows a moment that it cannot read as it stands', () => {
    expect(momentText('no moment')).toBe('no moment');
  });
});

describe('the place of a trouble', () => {
  it('is the screen that a question belongs to, else what the host said', () => {
    expect(placeText('pour.do')).toBe('Pour');
    expect(placeText('formulas.plan, batch')).toBe('Formulas, batch');
    expect(placeText('/dev/ttyUSB0')).toBe('/dev/ttyUSB0');
    expect(placeText('elsewhere.thing')).toBe('elsewhere.thing');
  });
});

describe('a number and its unit', () => {
  it('stay on one line', () => {
    expect(tied('Vetiver oil 10.02 % in ethanol +0.06 g, 2 drops')).toBe(
      'Vetiver oil 10.02\u00a0% in ethanol +0.06\u00a0g, 2 drops',
    );
    expect(tied('30 grams')).toBe('30 grams');
  });
});

describe('addresses', () => {
  it('come back as they went', () => {
    const item = 'a/b #7';
    expect(readRoute(fragmentOf('records', item))).toEqual({ screen: 'records', item, leaf: null });
    expect(readRoute(fragmentOf('formulas', item, 'write'))).toEqual({
      screen: 'formulas',
      item,
      leaf: 'write',
    });
    expect(readRoute(fragmentOf('organ'))).toEqual({ screen: 'organ', item: null, leaf: null });
  });

  it('that name no screen lead to Pour', () => {
    expect(readRoute('#elsewhere/1')).toEqual({ screen: 'pour', item: null, leaf: null });
    expect(readRoute('')).toEqual({ screen: 'pour', item: null, leaf: null });
    expect(readRoute('#records/%')).toEqual({ screen: 'records', item: null, leaf: null });
  });
});

describe('likings', () => {
  it('are taken up, written back, and anything unknown is left aside', () => {
    const kept = new Map([
      ['sheet', 'dark'],
      ['buttons', 'enormous'],
    ]);
    const stop = remember({
      getItem: (key) => kept.get(key) ?? null,
      setItem: (key, value) => void kept.set(key, value),
    });
    expect(sheet.value).toBe('dark');
    sheet.value = 'light';
    expect(kept.get('sheet')).toBe('light');
    expect(kept.get('buttons')).toBe('usual');
    stop();
    sheet.value = 'system';
    expect(kept.get('sheet')).toBe('light');
  });
});

describe('a steady part of a view', () => {
  it('keeps its identity until it says something else', () => {
    const view = signal({ rungs: [1, 2], reading: 1 });
    const rungs = steady(() => view.value.rungs);
    const first = rungs.value;
    view.value = { rungs: [1, 2], reading: 2 };
    expect(rungs.value).toBe(first);
    view.value = { rungs: [1, 3], reading: 3 };
    expect(rungs.value).toEqual([1, 3]);
  });
});
