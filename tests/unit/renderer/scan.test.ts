import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Decided, SCAN_GAP_MS, type Stroke, silence, strike } from '../../../renderer/state/scan.ts';

/** What comes of strokes with these gaps before them, and of silence after the last. */
function struck(strokes: readonly (readonly [string, number])[]) {
  const came = { keys: [] as string[], codes: [] as string[], torn: [] as string[] };
  let held: readonly Stroke[] = [];
  let at = 0;
  const add = (decided: Decided) => {
    held = decided.held;
    came.keys.push(...decided.keys);
    if (decided.code !== null) came.codes.push(decided.code);
    if (decided.torn !== null) came.torn.push(decided.torn);
  };
  for (const [key, gap] of strokes) {
    at += gap;
    add(strike(held, { key, at }));
  }
  add(silence(held));
  return came;
}

const scanned = (code: string, gap = 8) => [...code].map((key) => [key, gap] as const);

describe('a code or keys', () => {
  it('takes characters close together that end with enter as one code, and none of them as a key', () => {
    expect(struck([...scanned('DFVSKN-04'), ['Enter', 8]])).toEqual({
      keys: [],
      codes: ['DFVSKN-04'],
      torn: [],
    });
  });

  it('takes a code at the very edge of the gap, and keys just past it', () => {
    expect(struck([...scanned('LA-33', SCAN_GAP_MS), ['Enter', SCAN_GAP_MS]]).codes).toEqual(['LA-33']);
    expect(struck([...scanned('VSK', SCAN_GAP_MS + 1), ['Enter', SCAN_GAP_MS + 1]]).keys).toEqual([
      'V',
      'S',
      'K',
      'Enter',
    ]);
  });

  it('gives a single key to what it means once nothing follows', () => {
    expect(struck([['v', 0]])).toEqual({ keys: ['v'], codes: [], torn: [] });
    expect(strike([], { key: 'v', at: 0 }).keys).toEqual([]);
  });

  it('lets space, enter and the page keys of a pedal through at once', () => {
    for (const key of [' ', 'Enter', 'PageDown', 'PageUp', 'Escape'])
      expect(strike([], { key, at: 0 })).toEqual({ held: [], keys: [key], code: null, torn: null });
  });

  it('takes one key struck fast again and again for what it is, in its order with what follows', () => {
    expect(struck([...scanned('dddd', 20), [' ', 20]]).keys).toEqual(['d', 'd', 'd', 'd', ' ']);
  });

  it('takes nothing from a code that broke off', () => {
    expect(struck(scanned('VSK-0'))).toEqual({ keys: [], codes: [], torn: ['VSK-0'] });
    expect(struck([...scanned('VSK-0'), ['PageDown', 10]])).toEqual({
      keys: ['PageDown'],
      codes: [],
      torn: ['VSK-0'],
    });
  });

  it('tells two codes one after the other apart', () => {
    const twice = [...scanned('LA-33'), ['Enter', 5] as const];
    expect(struck([...twice, ...twice]).codes).toEqual(['LA-33', 'LA-33']);
  });

  it('keeps a space inside a code', () => {
    expect(struck([...scanned('LA 33'), ['Enter', 8]]).codes).toEqual(['LA 33']);
  });

  it('does no key of any code of two characters or more that comes whole', () => {
    const code = fc.stringMatching(/^[A-Za-z0-9._/-]{2,40}$/);
    fc.assert(
      fc.property(code, fc.integer({ min: 0, max: SCAN_GAP_MS }), (text, gap) => {
        expect(struck([...scanned(text, gap), ['Enter', gap]])).toEqual({
          keys: [],
          codes: [text],
          torn: [],
        });
      }),
      { seed: 5 },
    );
  });

  it('loses no key struck at a hand’s pace', () => {
    const keys = fc.array(fc.constantFrom('d', 'v', '1', 'n', ' ', 'Enter', 'PageUp'), { maxLength: 30 });
    fc.assert(
      fc.property(keys, (all) => {
        expect(struck(all.map((key) => [key, SCAN_GAP_MS + 1] as const)).keys).toEqual(all);
      }),
      { seed: 6 },
    );
  });
});
