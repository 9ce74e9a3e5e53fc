import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Host, openHost } from '../../../electron/host/host.ts';
import { checkFile } from '../../../electron/host/store/backup.ts';
import type { CallName, Input, Output } from '../../../electron/host/table.ts';

let folder = '';
let host: Host;

const open = async (): Promise<void> => {
  host = await openHost({ data: join(folder, 'data'), capabilities: { saveDialog: null, menu: false } });
};
const at = (name: string): string => join(folder, name);

async function asked<K extends CallName>(name: K, input: Input<K>): Promise<Output<K>> {
  const reply = await host.call(name, input as object);
  if (!reply.ok) throw new Error(reply.trouble.what);
  return reply.value as Output<K>;
}

const names = async (): Promise<string[]> =>
  (await asked('practice.learners', {})).learners.map((one) => one.name);

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-both-'));
  await open();
});
afterEach(async () => {
  await host.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('a backup of everything', () => {
  it('writes nothing of Practice where nobody has practised, and that is no error', async () => {
    expect(await asked('store.backup', { path: at('copy.sqlite') })).toMatchObject({ practice: null });
    expect(readdirSync(folder)).toEqual(['copy.sqlite', 'data']);
    expect(existsSync(join(folder, 'data', 'practice'))).toBe(false);
    expect(await asked('store.restore', { path: at('copy.sqlite') })).toMatchObject({ practice: null });
  });

  it('holds Practice beside it, also where it has not been opened since the start', async () => {
    await asked('practice.learner-add', { name: 'Ilse' });
    await host.close();
    await open();
    const { practice } = await asked('store.backup', { path: at('copy.sqlite') });
    expect(practice?.path).toBe(at('copy-practice.sqlite'));
    expect(practice?.counts).toMatchObject({ learners: 1, attempts: 0 });
    expect(checkFile(at('copy-practice.sqlite'))).toEqual(practice?.counts);
  });

  it('brings Practice back with it at the next start, and what was there is set aside', async () => {
    await asked('practice.learner-add', { name: 'Ilse' });
    await asked('store.backup', { path: at('copy.sqlite') });
    await asked('practice.learner-add', { name: 'Jon' });
    expect(await asked('store.restore', { path: at('copy.sqlite') })).toMatchObject({
      practice: { learners: 1 },
    });
    expect(await names()).toEqual(expect.arrayContaining(['Ilse', 'Jon']));
    await host.close();
    await open();
    expect(await names()).toEqual(['Ilse']);
    const practice = join(folder, 'data', 'practice');
    const aside = readdirSync(practice).find((name) => name.includes('before-restore')) ?? '';
    expect(checkFile(join(practice, aside)).learners).toBe(2);
  });

  it('without Practice beside it leaves Practice as it is; taken back, nothing waits', async () => {
    await asked('practice.learner-add', { name: 'Ilse' });
    await asked('store.backup', { path: at('copy.sqlite') });
    await asked('store.restore', { path: at('copy.sqlite') });
    await asked('store.restore-forget', {});
    await asked('practice.learner-add', { name: 'Jon' });
    expect(readdirSync(join(folder, 'data')).filter((name) => name.includes('to-restore'))).toEqual([]);
    rmSync(at('copy-practice.sqlite'));
    expect(await asked('store.restore', { path: at('copy.sqlite') })).toMatchObject({ practice: null });
    await host.close();
    await open();
    expect(await names()).toHaveLength(2);
  });

  it('is refused whole where Practice beside it is damaged, or where it alone is named', async () => {
    await asked('practice.learner-add', { name: 'Ilse' });
    await asked('store.backup', { path: at('copy.sqlite') });
    await expect(asked('store.restore', { path: at('copy-practice.sqlite') })).rejects.toThrow(
      'backup of Practice',
    );
    const bytes = readFileSync(at('copy-practice.sqlite'));
    writeFileSync(at('copy-practice.sqlite'), bytes.subarray(0, bytes.length / 2));
    await expect(asked('store.restore', { path: at('copy.sqlite') })).rejects.toThrow(/damaged|no sound/);
    expect(readdirSync(join(folder, 'data')).filter((name) => name.includes('to-restore'))).toEqual([]);
  });

  it('says that the workshop is written where Practice cannot be', async () => {
    await asked('practice.learner-add', { name: 'Ilse' });
    await host.close();
    writeFileSync(join(folder, 'data', 'practice', 'pourwright.sqlite'), 'a letter. '.repeat(200));
    await open();
    await expect(asked('store.backup', { path: at('copy.sqlite') })).rejects.toThrow(
      /workshop is written and checked.*but Practice is not/,
    );
    expect(checkFile(at('copy.sqlite')).batches).toBe(0);
    expect(existsSync(at('copy-practice.sqlite'))).toBe(false);
  });
});
