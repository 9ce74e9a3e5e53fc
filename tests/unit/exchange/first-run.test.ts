import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Host, openHost } from '../../../electron/host/host.ts';
import { openStore } from '../../../electron/host/store/store.ts';
import type { CallName, Input, Output } from '../../../electron/host/table.ts';
import { wholeBatch } from '../record/batch.ts';
import { AT, testFolder } from '../store/given.ts';

let folder = testFolder();
let host: Host | null = null;

const open = async (demo: boolean): Promise<void> => {
  host = await openHost({ data: folder.path, demo, capabilities: { saveDialog: null, menu: false } });
};
const close = async (): Promise<void> => {
  await host?.close();
  host = null;
};

beforeEach(() => {
  folder = testFolder();
});
afterEach(async () => {
  await close();
  folder.remove();
});

async function call<K extends CallName>(name: K, input: Input<K>): Promise<Output<K>> {
  const reply = await host?.call(name, input);
  if (reply?.ok !== true) throw new Error(`${reply?.trouble.what} ${reply?.trouble.next}`);
  return reply.value as Output<K>;
}

const state = () => call('workshop.state', {});
const materials = async (): Promise<number> =>
  (await call('organ.shelves', {})).reduce((sum, shelf) => sum + shelf.materials.length, 0);

describe('an empty data folder', () => {
  it('is an empty workshop, without a balance', async () => {
    await open(false);
    expect(await state()).toEqual({ empty: true, demo: false, batches: 0, emptyNext: false });
    expect(await materials()).toBe(0);
    expect(await call('formulas.list', {})).toEqual([]);
    expect(await call('balance.chosen', {})).toBeNull();
  });

  it('takes the demo and the simulated balance, and still has both after a restart', async () => {
    await open(false);
    expect(await call('workshop.demo', {})).toMatchObject({ empty: false, demo: true });
    expect(await call('balance.chosen', {})).toEqual({ kind: 'simulated' });
    const shown = await materials();
    expect(shown).toBeGreaterThan(0);
    await close();
    await open(false);
    expect(await state()).toMatchObject({ empty: false, demo: true });
    expect(await materials()).toBe(shown);
    expect(await call('balance.chosen', {})).toEqual({ kind: 'simulated' });
  });

  it('begins with both where the start asks for it, and a later start leaves the chosen balance', async () => {
    await open(true);
    expect(await state()).toMatchObject({ empty: false, demo: true });
    expect(await call('balance.chosen', {})).toEqual({ kind: 'simulated' });
    await call('balance.choose', { kind: 'typed' });
    await close();
    await open(true);
    expect(await call('balance.chosen', {})).toEqual({ kind: 'typed' });
  });
});

describe('the demo', () => {
  it('is refused where materials are, and nothing is added', async () => {
    const store = openStore(folder.path);
    store.workshop.add({
      materials: [{ key: 'mine', name: 'Mine', note: 'top', family: 'woods', kind: 'neat' }],
      lots: [],
      formulas: [],
    });
    store.close();
    await open(false);
    await expect(call('workshop.demo', {})).rejects.toThrow(/never mixed.*--data/);
    expect(await materials()).toBe(1);
    expect(await call('balance.chosen', {})).toBeNull();
    await close();
    await expect(open(true)).rejects.toThrow(/never mixed/);
    // The refused start let go of the database.
    await open(false);
    expect(await materials()).toBe(1);
  });

  it('is refused where batches are, though nothing is on the shelf', async () => {
    const store = openStore(folder.path);
    const [started] = wholeBatch;
    if (started === undefined) throw new Error('no events');
    store.journal.begin({ id: 'lone', name: 'Lone', at: AT }, [started]);
    store.close();
    await open(false);
    expect(await state()).toMatchObject({ empty: true, demo: false });
    await expect(call('workshop.demo', {})).rejects.toThrow(/never mixed/);
  });

  it('gives way to an empty workshop at the next start, and is kept beside it', async () => {
    await open(true);
    expect(await call('workshop.start-empty', {})).toMatchObject({ demo: true, emptyNext: true });
    // Until then nothing has changed.
    expect(await materials()).toBeGreaterThan(0);
    await close();
    await open(false);
    expect(await state()).toEqual({ empty: true, demo: false, batches: 0, emptyNext: false });
    expect(await call('balance.chosen', {})).toBeNull();
    const names = readdirSync(folder.path);
    const aside = names.find((name) => /^pourwright\.before-restore-.+\.sqlite$/.test(name));
    expect(existsSync(join(folder.path, aside ?? 'nothing'))).toBe(true);
    expect(names.filter((name) => name.startsWith('.empty-'))).toEqual([]);
  });

  it('stays when the person thinks better of it', async () => {
    await open(true);
    await call('workshop.start-empty', {});
    await call('store.restore-forget', {});
    expect(await state()).toMatchObject({ demo: true, emptyNext: false });
    await close();
    await open(false);
    expect(await state()).toMatchObject({ demo: true });
  });

  it('is not what a workshop of one’s own can be made to give way as', async () => {
    await open(false);
    await expect(call('workshop.start-empty', {})).rejects.toThrow(/not the demo/);
  });
});
