import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { demoWorkshop } from '../../../electron/host/demo.ts';
import { type Host, openHost } from '../../../electron/host/host.ts';
import type { CallName, Input, Output } from '../../../electron/host/table.ts';
import { testFolder } from '../store/given.ts';
import { comesOut } from './spreadsheets.ts';

const SHEETS = resolve(import.meta.dirname, '../../../fixtures/spreadsheets');
const sheets = readdirSync(SHEETS).filter((name) => /\.(csv|txt)$/.test(name));

describe('the ugly spreadsheets', () => {
  it('are ten', () => {
    expect(sheets).toHaveLength(10);
  });

  it.each(sheets)('%s gives what is kept beside it', (name) => {
    const { ask, ...wanted } = JSON.parse(
      readFileSync(join(SHEETS, name.replace(/\.\w+$/, '.json')), 'utf8'),
    );
    const bytes = readFileSync(join(SHEETS, name));
    expect(comesOut({ name, bytes }, ask, demoWorkshop())).toEqual(wanted);
  });
});

let folder = testFolder();
let host: Host;
const open = async (demo = false) => {
  host = await openHost({ data: folder.path, demo, capabilities: { saveDialog: null, menu: false } });
};
beforeEach(async () => {
  folder = testFolder();
  await open();
});
afterEach(async () => {
  await host.close();
  folder.remove();
});

async function call<K extends CallName>(name: K, input: Input<K>): Promise<Output<K>> {
  const reply = await host.call(name, input);
  if (!reply.ok) throw new Error(`${reply.trouble.what} ${reply.trouble.next}`);
  return reply.value as Output<K>;
}

async function given(text: string | Buffer, name = 'pasted list'): Promise<string> {
  const bytes = Buffer.from(text);
  const { file } = await call('files.begin', { name, size: bytes.length });
  for (let at = 0; at < bytes.length; at += 30_000)
    await call('files.part', { file, base64: bytes.subarray(at, at + 30_000).toString('base64') });
  return file;
}

const shelves = async () =>
  (await call('organ.shelves', {})).flatMap((shelf) => shelf.materials.map((one) => one.name));

describe('a list that is brought in', () => {
  const LIST = 'Name;Code;Stock\nSpruce oil;SP-1;12,5\nLarch oil;LR-1;12 ml\n';

  it('takes nothing while a row is wrong, then all of it once the cell is mended, and keeps it over a restart', async () => {
    const file = await given(LIST);
    const ask = { file, target: 'shelf' as const };
    const read = await call('bring-in.read', ask);
    expect(read.ready).toBe(false);
    expect(read.remarks).toMatchObject([{ row: 3, column: 2, stops: true }]);
    await expect(call('bring-in.take', ask)).rejects.toThrow(/no unit of mass.*Nothing was taken/);
    expect(await shelves()).toEqual([]);
    const mended = { ...ask, edits: [{ row: 3, column: 2, text: '12' }] };
    expect((await call('bring-in.read', mended)).ready).toBe(true);
    const { done } = await call('bring-in.take', mended);
    expect(done).toEqual(['2 materials brought in.', '2 bottles brought in.']);
    await host.close();
    await open();
    expect(await shelves()).toEqual(['Larch oil', 'Spruce oil']);
    const again = await call('bring-in.read', { ...mended, file: await given(LIST) });
    expect(again.summary).toEqual(['2 the same materials.', '2 the same bottles.']);
    expect(again.ready).toBe(false);
  });

  it('leaves a row out by hand', async () => {
    const ask = { file: await given(LIST), target: 'shelf' as const, leaveOut: [3] };
    const read = await call('bring-in.read', ask);
    expect([read.ready, read.leftOut]).toEqual([true, [{ row: 3, why: 'left out by hand' }]]);
    await call('bring-in.take', ask);
    expect(await shelves()).toEqual(['Spruce oil']);
  });

  it('keeps what is here where it differs, unless the person takes the new', async () => {
    await call('bring-in.take', {
      file: await given('Name,Code,Stock\nSpruce oil,SP-1,12.5\n'),
      target: 'shelf',
    });
    const ask = {
      file: await given('Name,Code,Stock\nSpruce oil,SP-1,9.00\nFir oil,FR-1,3\n'),
      target: 'shelf' as const,
    };
    const read = await call('bring-in.read', ask);
    expect(read.differs).toMatchObject([
      { id: 'lot SP-1', what: ['stock: 12.5 here, 9.00 in the list'], take: false },
    ]);
    await call('bring-in.take', ask);
    const stock = async () =>
      (await call('organ.shelves', {})).flatMap((one) =>
        one.materials.flatMap(({ lots }) => lots.map((lot) => [lot.code, lot.stock])),
      );
    expect(await stock()).toEqual([
      ['FR-1', '3'],
      ['SP-1', '12.5'],
    ]);
    await call('bring-in.take', { ...ask, take: ['lot SP-1'] });
    expect(await stock()).toEqual([
      ['FR-1', '3'],
      ['SP-1', '9.00'],
    ]);
  });

  it('is read with other columns, units and signs than were recognised', async () => {
    const file = await given('a,b\nSpruce oil,"1,500"\n');
    const columns = { 0: { field: 'name' }, 1: { field: 'stock', unit: 'mg' } };
    const take = { file, target: 'shelf' as const, header: 1, columns, sign: 'comma' as const };
    await call('bring-in.take', take);
    const [shelf] = await call('organ.shelves', {});
    expect(shelf?.materials[0]?.lots[0]?.stock).toBe('0.001500');
  });

  it('that is no text, not whole or not there any more is refused with what to do', async () => {
    const zip = await given(Buffer.from([0x50, 0x4b, 3, 4, 0, 0]), 'list.xlsx');
    await expect(call('bring-in.read', { file: zip, target: 'shelf' })).rejects.toThrow(/workbook.*CSV/);
    const { file } = await call('files.begin', { name: 'half', size: 10 });
    await expect(call('bring-in.read', { file, target: 'shelf' })).rejects.toThrow(/Only 0 of 10/);
    await expect(call('bring-in.read', { file: 'none', target: 'shelf' })).rejects.toThrow(
      /not here any more/,
    );
    await expect(call('bring-in.read', { file: await given(' \n'), target: 'shelf' })).rejects.toThrow(
      /nothing in it/,
    );
  });
});

describe('a formula that is brought in', () => {
  const sheet = (name: string) => readFileSync(join(SHEETS, name));

  it('of 104 % is told, and taken as parts of their sum where the person says so', async () => {
    await call('workshop.demo', {});
    const file = await given(sheet('formula-104.csv'), 'formula-104.csv');
    const formula = { name: 'March trial' };
    const ask = { file, target: 'formula' as const, formula };
    expect((await call('bring-in.read', ask)).wrong?.what).toContain('104 %');
    await expect(call('bring-in.take', ask)).rejects.toThrow(/104 %/);
    const scaled = { ...ask, formula: { ...formula, scale: true } };
    const { formula: id } = await call('bring-in.take', scaled);
    const found = await call('formulas.open', { id: id ?? '' });
    expect(found.lines.map((one) => one.title)).toContain('Bergamot oil');
    const again = await call('bring-in.read', { ...scaled, file: await given(sheet('formula-104.csv')) });
    expect([again.ready, again.differs]).toEqual([false, []]);
  });

  it('under the name of one that is here is a new version only where the person takes it', async () => {
    await call('workshop.demo', {});
    const read = async (text: string) => ({
      file: await given(text),
      target: 'formula' as const,
      formula: { name: 'Dawn' },
    });
    await call('bring-in.take', await read('Material;g\nLinalool;1\nGeranium oil;2\n'));
    const other = await read('Material;g\nLinalool;1\nGeranium oil;3\n');
    const view = await call('bring-in.read', other);
    expect(view.differs).toMatchObject([{ id: 'formula dawn', take: false }]);
    expect(view.ready).toBe(false);
    const { done } = await call('bring-in.take', { ...other, take: ['formula dawn'] });
    expect(done.join()).toMatch(/Dawn has version \d/);
  });

  it('with a figure that no plan can take leaves nothing behind, not even its new materials', async () => {
    await call('workshop.demo', {});
    const before = await shelves();
    const file = await given('Material;Parts\nMoss;0,0000\nLinalool;5\n');
    await expect(
      call('bring-in.take', { file, target: 'formula', formula: { name: 'Moss' } }),
    ).rejects.toThrow(/not above 0/);
    expect(await shelves()).toEqual(before);
  });
});
