import { beforeEach, describe, expect, it } from 'vitest';
import { archiveView, compared } from '../../../electron/host/exchange/comparing.ts';
import { loadDemo } from '../../../electron/host/exchange/first-run.ts';
import { handedOut } from '../../../electron/host/exchange/hand-out.ts';
import { looksLikeJson, openHandedJson } from '../../../electron/host/exchange/handed-json.ts';
import { mergeArchive } from '../../../electron/host/exchange/merging.ts';
import { HostTrouble } from '../../../electron/host/trouble.ts';
import { here, there, twoBenches } from './benches.ts';

const NOW = '2026-11-25T12:00:00.000Z';
const LATER = '2026-11-26T12:00:00.000Z';
twoBenches();
beforeEach(() => loadDemo(there, NOW));

const out = (what: 'organ' | 'formulas'): string =>
  new TextDecoder().decode(handedOut(there, { what, format: 'json' }, NOW).bytes);
const opened = (text: string) => openHandedJson(new TextEncoder().encode(text), 'handed.json', here, LATER);
const take = (text: string, choices = {}): string[] => mergeArchive(here, opened(text), choices, LATER);
const view = (text: string) => {
  const archive = opened(text);
  return archiveView(archive, compared(archive, here));
};
const changed = (text: string, change: (file: ReturnType<typeof JSON.parse>) => void): string => {
  const file = JSON.parse(text);
  change(file);
  return JSON.stringify(file);
};
function refused(text: string): HostTrouble {
  try {
    take(text);
  } catch (cause) {
    if (cause instanceof HostTrouble) return cause;
    throw cause;
  }
  throw new Error('it was taken');
}
const untouched = () => expect(here.workshop.read()).toEqual({ materials: [], lots: [], formulas: [] });

describe('an Organ and formulas handed out as JSON', () => {
  it('come into an empty workshop as they were: shelves with their stock, formulas with every version', () => {
    const head = there.versions.head('pin-prick-1');
    if (head === null) throw new Error('no formula');
    there.versions.save({ ...head.written, tolerance: '0.02' }, { why: 'wider', at: NOW, asNew: true });
    expect(view(out('organ')).summary).toEqual(['Materials: 63 new.', 'Bottles: 85 new.']);
    expect(take(out('organ'))).toEqual(['63 materials, 85 bottles taken from the file.']);
    expect(take(out('formulas'))).toEqual(['12 formulas taken from the file.']);
    const { formulas: _, ...shelves } = there.workshop.read();
    expect(here.workshop.read()).toMatchObject(shelves);
    expect(here.stock.of('LA-33')).toBe('74.15');
    expect(here.versions.list('pin-prick-1')).toEqual(there.versions.list('pin-prick-1'));
  });

  it('taken twice change nothing', () => {
    take(out('organ'));
    take(out('formulas'));
    const stock = here.archive.stock();
    for (const what of ['organ', 'formulas'] as const)
      expect(take(out(what))).toEqual(['Everything in the file is here already; nothing was changed.']);
    expect(here.archive.stock()).toEqual(stock);
  });

  it('are told where they differ, and overwrite nothing unasked', () => {
    take(out('organ'));
    const other = changed(out('organ'), (file) => {
      const lot = file.lots.find((one: { code: string }) => one.code === 'LA-33');
      Object.assign(lot, { price: '0.31', stock: '12.00' });
    });
    expect(view(other).items).toEqual([
      {
        id: 'lot LA-33',
        name: 'Lavender oil, LA-33',
        what: ['price: 0.29 here, 0.31 in the file', 'stock: 74.15 here, 12.00 in the file'],
        choices: ['keep', 'take', 'both'],
      },
    ]);
    take(other);
    expect(here.stock.of('LA-33')).toBe('74.15');
    take(other, { 'lot LA-33': 'take' });
    expect(here.stock.of('LA-33')).toBe('12.00');
    expect(here.stock.entries('LA-33').at(-1)?.why).toBe('as the file that was brought in says');
  });
});

describe('a JSON file that cannot be taken', () => {
  const noStock = (file: ReturnType<typeof JSON.parse>) => {
    file.lots[3].stock = '-2';
  };

  it.each<[string, () => string, RegExp, RegExp]>([
    [
      'formulas before their materials',
      () => out('formulas'),
      /version 1 cannot be made here: there is no material/,
      /formulas\[0\]\.versions\[0\]$/,
    ],
    ['a stock below nothing', () => changed(out('organ'), noStock), /-2 g is too small/, /lots\[3\]\.stock$/],
    [
      'a bottle of a material that is nowhere',
      () => changed(out('organ'), (file) => void file.materials.splice(0, 63)),
      /which is no material here nor in the file/,
      /lots\[0\]\.composition$/,
    ],
    [
      'a field no schema knows',
      () => changed(out('organ'), (file) => void Object.assign(file.materials[1], { colour: 'red' })),
      /not as it was handed out: .*colour/,
      /materials\[1\]$/,
    ],
    [
      'another format',
      () => '{"format":"shopping list"}',
      /"shopping list", which is not known here/,
      /format$/,
    ],
    ['none', () => '[1]', /has no "format"/, /format$/],
    ['the record of a batch', () => '{"format":"pourwright record 1"}', /evidence/, /handed\.json$/],
    ['half a file', () => out('organ').slice(0, 4000), /no JSON that can be read/, /handed\.json$/],
  ])('by %s is refused with its place, and nothing of it is taken', (_name, text, what, where) => {
    const trouble = refused(text());
    expect(trouble.message).toMatch(what);
    expect(trouble.where).toMatch(where);
    expect(trouble.next).toMatch(/Nothing was taken\.$/);
    untouched();
  });

  it.each<[string, (formula: ReturnType<typeof JSON.parse>) => void, RegExp]>([
    [
      'shares that are not those of the lines',
      ({ versions }) => {
        versions[0].formula.lines[0].fraction = '0.5';
      },
      /are not what its lines make/,
    ],
    [
      'a version of another formula',
      ({ versions }) => {
        versions[0].written.id = 'else';
      },
      /says that it is of another formula/,
    ],
    ['a version twice', ({ versions }) => void versions.push(versions[0]), /not in their order/],
  ])('by %s keeps every other formula out too', (_name, change, what) => {
    take(out('organ'));
    expect(refused(changed(out('formulas'), (file) => change(file.formulas[5]))).message).toMatch(what);
    expect(here.workshop.read().formulas).toEqual([]);
  });

  it('is told from an archive by how it begins', () => {
    const begins = (text: string) => looksLikeJson(new TextEncoder().encode(text));
    expect(['\uFEFF {', '{}', '\n[', 'PK\u0003\u0004', 'Name;Code', ''].map(begins)).toEqual([
      true,
      true,
      true,
      false,
      false,
      false,
    ]);
  });
});
