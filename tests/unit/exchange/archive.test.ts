import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import { beforeEach, describe, expect, it } from 'vitest';
import { FormulasFile, OrganFile } from '../../../core/record/workshop-file.ts';
import { bytesHash } from '../../../electron/host/documents/manifest.ts';
import { openArchive, packArchive } from '../../../electron/host/exchange/archive.ts';
import { archiveView, compared } from '../../../electron/host/exchange/comparing.ts';
import { loadDemo } from '../../../electron/host/exchange/first-run.ts';
import { handedOut } from '../../../electron/host/exchange/hand-out.ts';
import { readList } from '../../../electron/host/exchange/list.ts';
import { mergeArchive } from '../../../electron/host/exchange/merging.ts';
import { hereOf } from '../../../electron/host/exchange/taking.ts';
import type { Store } from '../../../electron/host/store/store.ts';
import { wholeBatch } from '../record/batch.ts';
import { fillStore, TRACE } from '../store/given.ts';
import { here, restartHere, there, twoBenches } from './benches.ts';

const NOW = '2026-11-25T12:00:00.000Z';
twoBenches();

const pack = (store: Store) => packArchive(store, NOW, '0.0.0');
const opened = (bytes: Uint8Array) => openArchive(bytes, 'workshop.zip');
const view = (bytes: Uint8Array, store: Store) => {
  const archive = opened(bytes);
  return archiveView(archive, compared(archive, store));
};
const merge = (bytes: Uint8Array, store: Store, choices = {}) =>
  mergeArchive(store, opened(bytes), choices, NOW);
const shelf = (store: Store) => store.workshop.read();

describe('an archive of a whole workshop', () => {
  beforeEach(() => {
    fillStore(there);
    there.care.keepProfile('known', '{"name":"the good one"}');
    there.care.addCheck({ profile: 'known', at: NOW, kind: 'repeat', body: '{}' });
    there.archive.addTrial('whole', '{"begun":"now"}');
    there.archive.addNote({ batch: 'whole', at: NOW, body: '{"text":"green"}' });
  });

  it('goes into an empty folder whole: shelf, formulas, ended batches with readings, trials, balances', () => {
    const bytes = pack(there);
    expect(view(bytes, here).items).toEqual([]);
    merge(bytes, here);
    const { lots, ...rest } = shelf(there);
    expect(shelf(here)).toMatchObject(rest);
    expect(shelf(here).lots).toEqual(lots);
    expect(here.journal.events('whole')).toEqual(there.journal.events('whole'));
    const [n = 0] = here.journal.traced('whole');
    expect(here.journal.trace('whole', n)).toEqual(TRACE);
    expect(here.catalog.row('whole')).toEqual(there.catalog.row('whole'));
    expect(here.catalog.find({ limit: 10 }).rows.map((row) => [row.id, row.strength, row.worst])).toEqual(
      there.catalog
        .find({ limit: 10, status: 'closed' })
        .rows.map((row) => [row.id, row.strength, row.worst]),
    );
    expect(here.archive.trials()).toEqual(there.archive.trials());
    expect(here.archive.notes()).toEqual(there.archive.notes());
    expect(here.care.checks('known')).toHaveLength(1);
    // A batch that is still open stays at its bench.
    expect(here.journal.events('torn')).toEqual([]);
  });

  it('taken twice, or back to where it came from, changes nothing', () => {
    const bytes = pack(there);
    merge(bytes, here);
    const rows = here.archive.stock();
    expect(merge(bytes, here)).toEqual(['Everything in the archive is here already; nothing was changed.']);
    expect(here.archive.stock()).toEqual(rows);
    expect(merge(pack(here), there)).toEqual([
      'Everything in the archive is here already; nothing was changed.',
    ]);
    expect(here.archive.notes()).toHaveLength(1);
    expect(here.care.checks('known')).toHaveLength(1);
  });

  it('lists its batches as they were begun, the latest first', () => {
    for (const day of ['26', '27', '28'])
      there.journal.begin({ id: `on-${day}`, name: 'x', at: `2026-11-${day}T09:00:00.000Z` }, wholeBatch);
    merge(pack(there), here);
    expect(here.catalog.find({ limit: 10 }).rows.map((row) => row.id)).toEqual([
      'on-28',
      'on-27',
      'on-26',
      'whole',
    ]);
  });

  it('survives a restart of both', () => {
    merge(pack(there), here);
    restartHere();
    expect(view(pack(there), here).items).toEqual([]);
  });
});

describe('what differs in an archive', () => {
  const lot = 'LA-33';
  const priceOf = (store: Store, code: string) => shelf(store).lots.find((one) => one.code === code)?.price;
  beforeEach(() => {
    loadDemo(there, NOW);
    merge(pack(there), here);
    const found = shelf(there).lots.find((one) => one.code === lot);
    if (found === undefined) throw new Error('no lot');
    there.workshop.putLot({ ...found, price: '0.31' });
  });

  it('is told and kept as it is here, unless another choice is made', () => {
    const bytes = pack(there);
    const { items } = view(bytes, here);
    expect(items).toEqual([
      {
        id: `lot ${lot}`,
        name: 'Lavender oil, LA-33',
        what: ['price: 0.29 here, 0.31 in the archive'],
        choices: ['keep', 'take', 'both'],
      },
    ]);
    merge(bytes, here);
    expect(priceOf(here, lot)).toBe('0.29');
    merge(bytes, here, { [`lot ${lot}`]: 'take' });
    expect(priceOf(here, lot)).toBe('0.31');
  });

  it('is kept beside it under a new code, with its own stock', () => {
    merge(pack(there), here, { [`lot ${lot}`]: 'both' });
    expect([priceOf(here, lot), priceOf(here, `${lot}-2`)]).toEqual(['0.29', '0.31']);
    expect(here.stock.of(`${lot}-2`)).toBe('74.15');
  });

  it('a stock that was said elsewhere is no reason to change the one here', () => {
    there.workshop.putLot({
      ...(shelf(here).lots.find((one) => one.code === lot) ?? { code: '', name: '', composition: {} }),
    });
    there.stock.append({ lot, kind: 'weighed', g: '12.00', who: '', why: 'on the balance' }, NOW);
    const bytes = pack(there);
    expect(view(bytes, here).items).toMatchObject([{ what: ['stock: 74.15 here, 12.00 in the archive'] }]);
    merge(bytes, here);
    expect(here.stock.of(lot)).toBe('74.15');
    merge(bytes, here, { [`lot ${lot}`]: 'take' });
    expect(here.stock.of(lot)).toBe('12.00');
  });

  it('a material kept beside the one here goes with the formulas and bottles that came with it', () => {
    const own = { key: 'moss', name: 'Moss', note: 'base', family: 'woods', kind: 'neat' } as const;
    here.workshop.putMaterial({ ...own, density: '0.9' });
    there.workshop.putMaterial({ ...own, density: '1.1' });
    there.workshop.putLot({ code: 'MO-1', name: 'Moss', composition: { moss: '1' } });
    there.versions.save(
      {
        id: 'mossy',
        name: 'Mossy',
        batch: '10',
        tolerance: '0.01',
        lines: [{ id: 'l1', of: { material: 'moss' }, amount: { figure: '100', unit: 'percent' } }],
      },
      { why: 'new', at: NOW },
    );
    merge(pack(there), here, { 'material moss': 'both' });
    const { materials, lots } = shelf(here);
    expect(materials.filter((one) => one.key.startsWith('moss')).map((one) => one.density)).toEqual([
      '0.9',
      '1.1',
    ]);
    expect(lots.find((one) => one.code === 'MO-1')?.composition).toEqual({ 'moss-2': '1' });
    expect(here.versions.head('mossy')?.formula.lines[0]?.material).toBe('moss-2');
  });

  it('a formula: later versions come on top of those here, others become one more', () => {
    const head = there.versions.head('pin-prick-1');
    if (head === null) throw new Error('no formula');
    there.versions.save({ ...head.written, tolerance: '0.02' }, { why: 'wider', at: NOW, asNew: true });
    const bytes = pack(there);
    merge(bytes, here);
    expect(here.versions.head('pin-prick-1')?.written.tolerance).toBe('0.01');
    merge(bytes, here, { 'formula pin-prick-1': 'take' });
    expect(here.versions.list('pin-prick-1').map((one) => [one.n, one.written.tolerance])).toEqual([
      [2, '0.02'],
      [1, '0.01'],
    ]);
    there.versions.save({ ...head.written, tolerance: '0.03' }, { why: 'another way', at: NOW, asNew: true });
    here.versions.save({ ...head.written, tolerance: '0.04' }, { why: 'my way', at: NOW, asNew: true });
    merge(pack(there), here, { 'formula pin-prick-1': 'take' });
    expect(here.versions.list('pin-prick-1').map((one) => one.written.tolerance)).toEqual([
      '0.03',
      '0.04',
      '0.02',
      '0.01',
    ]);
    merge(pack(there), here, { 'formula pin-prick-1': 'both' });
    expect(here.versions.head('pin-prick-1-2')?.written.tolerance).toBe('0.03');
  });
});

describe('an archive that is damaged', () => {
  type Files = Record<string, Uint8Array>;
  const changed = (change: (files: Files) => void): Uint8Array => {
    fillStore(there);
    const files = unzipSync(pack(there));
    change(files);
    return zipSync(files);
  };
  const untouched = () => expect(shelf(here)).toEqual({ materials: [], lots: [], formulas: [] });
  /** A change that the manifest agrees with, as a person makes it who knows how. */
  const resigned = (files: Files, name: string, text: string): void => {
    files[name] = strToU8(text);
    const manifest = JSON.parse(strFromU8(files['manifest.json'] ?? new Uint8Array()));
    for (const one of manifest.files)
      if (one.name === name)
        Object.assign(one, { bytes: files[name].length, sha256: bytesHash(files[name]) });
    files['manifest.json'] = strToU8(JSON.stringify(manifest));
  };

  it.each<[string, (files: Files) => void, RegExp]>([
    [
      'a file changed',
      (files) => void Object.assign(files, { 'organ.json': strToU8('{}') }),
      /not the file that was put there/,
    ],
    ['a file gone', (files) => void delete files['stock.json'], /missing/],
    [
      'a file more',
      (files) => void Object.assign(files, { 'more.json': strToU8('{}') }),
      /put into the archive later/,
    ],
    ['no manifest', (files) => void delete files['manifest.json'], /no manifest/],
    [
      'a field no schema knows',
      (files) => resigned(files, 'organ.json', '{"format":"pourwright organ 1","materials":[{}],"lots":[]}'),
      /not as it should be/,
    ],
  ])('by %s gives nothing', (_name, change, why) => {
    const bytes = changed(change);
    expect(() => merge(bytes, here)).toThrow(why);
    untouched();
  });

  it('by lost or foreign bytes gives nothing', () => {
    fillStore(there);
    const whole = pack(there);
    for (const bytes of [whole.subarray(0, whole.length / 2), strToU8('no archive'), new Uint8Array()])
      expect(() => merge(bytes, here)).toThrow(/no archive that can be opened|not the file|no manifest/);
    untouched();
  });

  it('by an event written anew, manifest and all, gives everything but that batch, and says so', () => {
    const name = 'batches/whole.json';
    const bytes = changed((files) =>
      resigned(
        files,
        name,
        strFromU8(files[name] ?? new Uint8Array())
          .replace('"22.20"', '"22.21"')
          .replace(/"gross": "5\d\.\d+"/, '"gross": "99.99"'),
      ),
    );
    expect(view(bytes, here).refused.join()).toMatch(/not taken: event \d+ was altered/);
    merge(bytes, here);
    expect(here.journal.batches()).toEqual([]);
    expect(shelf(here).materials.length).toBeGreaterThan(0);
  });
});

describe('what is handed out', () => {
  const text = (bytes: Uint8Array) => new TextDecoder().decode(bytes);
  beforeEach(() => loadDemo(here, NOW));

  it.each(['point', 'comma'] as const)(
    'as a table of the Organ with a decimal %s comes in again as the same',
    (sign) => {
      const { bytes, name } = handedOut(here, { what: 'organ', format: 'csv', decimal: sign }, NOW);
      const { view: read } = readList({ name, bytes }, { file: 'x', target: 'shelf' }, hereOf(here));
      expect(read.sign.value).toBe(sign);
      expect(read.remarks.filter((one) => one.stops)).toEqual([]);
      expect(read.summary).toEqual(['63 the same materials.', '85 the same bottles.']);
    },
  );

  it('as a table of a formula comes in again as that formula', () => {
    const { bytes, name } = handedOut(
      here,
      { what: 'formulas', format: 'csv', formulas: ['pin-prick-1'] },
      NOW,
    );
    const ask = {
      file: 'x',
      target: 'formula' as const,
      formula: { name: 'Pin prick, trial 1', batch: '30.00' },
    };
    const columns = { 0: { field: null }, 3: { field: 'name' }, 4: { field: 'amount', unit: 'percent' } };
    const { bringing } = readList({ name, bytes }, { ...ask, columns }, hereOf(here));
    expect(bringing.formula?.is).toEqual(bringing.formula?.was);
  });

  it('defuses what a spreadsheet would take for a formula', () => {
    here.workshop.putMaterial({ key: 'x', name: '=1+1', note: 'top', family: 'woods', kind: 'neat' });
    expect(text(handedOut(here, { what: 'organ', format: 'csv' }, NOW).bytes)).toContain("'=1+1");
  });

  it('as JSON fits its schema, with every version', () => {
    const organ = OrganFile.parse(
      JSON.parse(text(handedOut(here, { what: 'organ', format: 'json' }, NOW).bytes)),
    );
    expect(organ.lots.find((one) => one.code === 'LA-33')?.stock).toBe('74.15');
    const { formulas } = FormulasFile.parse(
      JSON.parse(text(handedOut(here, { what: 'formulas', format: 'json' }, NOW).bytes)),
    );
    expect(formulas).toHaveLength(12);
  });
});
