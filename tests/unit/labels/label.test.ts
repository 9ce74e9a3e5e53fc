import { describe, expect, it } from 'vitest';
import type { Lot, Material } from '../../../core/formula/types.ts';
import { type LabelFacts, labelText } from '../../../core/record/label.ts';
import { fitBottle, LEAST_SIZE, type Measure } from '../../../core/record/label-fit.ts';
import {
  LAYOUTS,
  layoutFault,
  lidLayouts,
  perPage,
  placesFor,
  rulerAt,
} from '../../../core/record/label-sheet.ts';
import { fitLid } from '../../../core/record/lid-fit.ts';
import { wrap } from '../../../core/record/wrap.ts';

const materials: Material[] = [
  {
    key: 'vetiver',
    name: 'Vetiver oil',
    note: 'base',
    family: 'woods',
    kind: 'neat',
    cautions: ['Neat oil: wear gloves.', 'May sensitise the skin.'],
  },
  { key: 'rose', name: 'Rose oil', note: 'heart', family: 'florals', kind: 'neat' },
  { key: 'ethanol', name: 'Ethanol', note: null, family: 'solvents', kind: 'solvent', cautions: ['Burns.'] },
  { key: 'water', name: 'Water', note: null, family: 'solvents', kind: 'solvent' },
  { key: 'dpg', name: 'Dipropylene glycol', note: null, family: 'solvents', kind: 'solvent' },
];

const dilution: Lot = {
  code: 'VE-10',
  name: 'Vetiver oil, tenth',
  composition: { vetiver: '0.1002', ethanol: '0.8443579232', water: '0.0554420768' },
  uncertainty: { vetiver: '0.0002' },
  bestBefore: '2028-01-31',
  opened: '2026-11-01',
};

const text = (lot: Partial<Lot> = {}, more: Partial<LabelFacts> = {}) =>
  labelText({ lot: { ...dilution, ...lot }, materials, maker: ' Lindenhof ', ...more });

describe('the words of a label', () => {
  it('tell strength as made with its U, and the solvent by % vol', () => {
    expect(text()).toMatchObject({
      strength: '10.02 % ± 0.04 % by mass in ethanol 96 % vol',
      short: '10.02 %',
      kind: 'base · woods',
      date: 'opened 2026-11-01',
      bestBefore: 'best before 2028-01-31',
      maker: 'Lindenhof',
      material: 'Vetiver oil',
    });
  });

  it('take U and day from the batch it was made by, and never round U to nothing', () => {
    const made = text({}, { made: { on: '2026-11-25', strengthU: '0.00003' } });
    expect(made.strength).toBe('10.020 % ± 0.003 % by mass in ethanol 96 % vol');
    expect(made.date).toBe('made 2026-11-25');
  });

  it('take the lesser of both sides where several parts are uncertain', () => {
    const several = text({
      composition: { vetiver: '0.1', rose: '0.1', dpg: '0.8' },
      uncertainty: { vetiver: '0.002', rose: '0.002', dpg: '0.001' },
    });
    expect(several.strength).toBe('20.00 % ± 0.20 % by mass in Dipropylene glycol');
    expect(several.kind).toBeNull();
  });

  it('say neat of a neat oil and solvent of a solvent', () => {
    expect(text({ composition: { vetiver: '1' } }).strength).toBe('neat');
    expect(text({ composition: { ethanol: '0.938384', water: '0.061616' } })).toMatchObject({
      strength: 'solvent: ethanol 96 % vol',
      short: '96 % vol',
    });
    expect(text({ composition: { dpg: '1' } }).short).toBe('solvent');
  });

  it('name cautions of the neat oil on the neat oil alone, always defer, and never say safe', () => {
    const neat = text({ composition: { vetiver: '1' } }).cautions;
    const diluted = text().cautions;
    expect(neat).toContain('Neat oil: wear gloves.');
    expect(diluted).not.toContain('wear gloves');
    expect(diluted).toContain('Burns. May sensitise the skin.');
    for (const all of [neat, diluted, text({ composition: { dpg: '1' } }).cautions]) {
      expect(all).toContain("read the suppliers' documents");
      expect(all).not.toMatch(/safe/i);
    }
  });

  it('call the material by its name on a lid only where the name begins with it', () => {
    expect(text({ name: 'Сирень' }).material).toBeNull();
  });
});

describe('the layouts', () => {
  it('fit their pages, every one, at every diameter of a lid', () => {
    for (const layout of LAYOUTS) expect(layoutFault(layout)).toBeNull();
    for (let diameter = 12; diameter <= 25; diameter += 0.5)
      for (const layout of lidLayouts(diameter)) expect(layoutFault(layout)).toBeNull();
  });

  it('are refused with the reason when they cannot be', () => {
    const [first] = LAYOUTS;
    if (first === undefined) throw new Error('no layout');
    expect(layoutFault({ ...first, columns: 4 })?.what).toContain('280.0 mm are needed, 210 mm are there');
    expect(layoutFault({ ...first, rows: 9 })?.field).toBe('rows');
    expect(layoutFault({ ...first, rows: 0 })?.field).toBe('rows');
    expect(layoutFault({ ...first, left: -1 })?.field).toBe('left');
    expect(layoutFault({ ...first, shape: 'round' })?.what).toContain('as high as it is wide');
    expect(layoutFault({ ...first, gapX: Number.NaN })?.field).toBe('gap');
  });

  it('go on from the place of a begun sheet, over as many pages as are needed', () => {
    const sheet = LAYOUTS.find(({ id }) => id === 'a4-3x7');
    if (sheet === undefined) throw new Error('no layout');
    expect(perPage(sheet)).toBe(21);
    const places = placesFor(sheet, 20, 4);
    expect(places.map(({ page }) => page)).toEqual([0, 0, 1, 1]);
    expect(places[0]).toMatchObject({ x: 7.2 + 66, y: 15.1 + 6 * 38.1 });
    expect(places[2]).toEqual({ page: 1, x: 7.2, y: 15.1 });
  });

  it('have a line to measure only where labels leave room for it', () => {
    const at = Object.fromEntries(LAYOUTS.map((layout) => [layout.id, rulerAt(layout)]));
    expect(at['a4-3x8']).toBeNull();
    expect(at['a4-3x7']).toBeCloseTo(289.4, 1);
    expect(at['roll-57x32']).toBeNull();
  });
});

/** Every letter half as wide as it is high. */
const measure: Measure = (words, _, size) => [...words].length * size * 0.5 * (25.4 / 72);

describe('a label laid out', () => {
  const ground = { width: 70, height: 36, modules: 14 };

  it('holds everything where there is room, nothing under the least size or beyond the edge', () => {
    const { lines, code, left } = fitBottle(text(), ground, measure);
    expect(left).toEqual([]);
    expect(code).not.toBeNull();
    const all = lines.map((line) => line.text).join(' ');
    for (const one of ['Vetiver oil, tenth', 'base · woods', '± 0.04 %', 'lot VE-10', 'Lindenhof'])
      expect(all).toContain(one);
    for (const { x, y, width, size } of lines) {
      expect(size).toBeGreaterThanOrEqual(LEAST_SIZE);
      expect(x + width).toBeLessThanOrEqual(70);
      expect(y).toBeLessThanOrEqual(36);
    }
  });

  it('gives up one thing after another as it gets smaller, and says each', () => {
    const told = (width: number, height: number) =>
      fitBottle(text(), { width, height, modules: 14 }, measure).left;
    expect(told(55, 26)).toEqual(['the maker is left out']);
    const small = told(34, 14);
    expect(small.join()).toContain('cautions are left out');
    expect(small.length).toBeGreaterThan(2);
    const least = fitBottle(text(), { width: 26, height: 12, modules: 14 }, measure);
    const words = least.lines.map((line) => line.text).join(' ');
    expect(words).toContain('VE-10');
    expect(words).toContain('10.02 %');
    expect(least.left).toContain('solvent and uncertainty are left out');
  });

  it('says that not even the least fits', () => {
    expect(
      fitBottle(text({ code: 'LONG-CODE' }), { width: 10, height: 10, modules: 14 }, measure),
    ).toMatchObject({ fits: false });
    expect(
      fitLid(text({ code: 'A-VERY-LONG-CODE' }), { width: 12, height: 12, modules: 18 }, measure),
    ).toMatchObject({
      fits: false,
    });
  });

  it('keeps every line of a lid inside its circle', () => {
    for (let diameter = 12; diameter <= 25; diameter += 1) {
      const { lines, code, fits } = fitLid(
        text({ name: 'Vetiver oil from the north slope' }),
        { width: diameter, height: diameter, modules: 14 },
        measure,
      );
      expect(fits).toBe(true);
      const r = diameter / 2;
      const inside = (x: number, y: number) => Math.hypot(x - r, y - r) <= r;
      for (const { x, y, width } of lines) {
        expect(inside(x, y)).toBe(true);
        expect(inside(x + width, y)).toBe(true);
      }
      if (code !== null)
        for (const [dx, dy] of [
          [0, 0],
          [code.side, 0],
          [0, code.side],
          [code.side, code.side],
        ] as const)
          expect(inside(code.x + dx, code.y + dy)).toBe(true);
    }
  });

  it('marks a name that is cut', () => {
    const cut = fitLid(
      text({
        name: 'Osmanthus blossoms from the third terrace, second pressing',
        composition: { rose: '1' },
      }),
      { width: 18, height: 18, modules: 14 },
      measure,
    );
    expect(cut.left[0]).toMatch(/^the name is shortened to “Osmanthus.*…”$/);
    expect(cut.lines.some((line) => line.text.endsWith('…'))).toBe(true);
  });
});

describe('text in lines', () => {
  it('breaks at spaces, beside characters without them, and a long word where it must', () => {
    const widthOf = (words: string) => words.length;
    expect(wrap('one two three', 8, widthOf)).toEqual(['one two', 'three']);
    expect(wrap('薔薇と白檀の香水', 4, widthOf)).toEqual(['薔薇と白', '檀の香水']);
    expect(wrap('abcdefghij', 4, widthOf)).toEqual(['abcd', 'efgh', 'ij']);
  });
});
