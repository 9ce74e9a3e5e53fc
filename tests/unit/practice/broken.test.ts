import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { type Host, openHost } from '../../../electron/host/host.ts';
import { openStore } from '../../../electron/host/store/store.ts';
import type { CallName, Input, Output } from '../../../electron/host/table.ts';

const PRACTICE = { bench: 'practice-1' };

const opened = (data: string): Promise<Host> =>
  openHost({ data, capabilities: { saveDialog: null, menu: false } });

async function asked<K extends CallName>(
  host: Host,
  name: K,
  input: Input<K>,
  at: object = {},
): Promise<Output<K>> {
  const reply = await host.call(name, { ...(input as object), ...at });
  if (!reply.ok) throw new Error(`${name}: ${reply.trouble.what}`);
  return reply.value as Output<K>;
}

/** The last event of each batch in the store of Practice, as it lies on the disk at this moment. */
function lastEvents(data: string): unknown[] {
  const copy = `${data}-seen`;
  cpSync(join(data, 'practice'), copy, { recursive: true, force: true });
  const store = openStore(copy);
  try {
    return store.journal.batches().map(({ id }) => store.journal.events(id).at(-1)?.event);
  } finally {
    store.close();
  }
}

it('a lesson that a crash broke off is told, is not scored, stands on no bench, and can be begun again', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'pourwright-broken-'));
  const before = await opened(join(folder, 'before'));
  const { id } = await asked(before, 'practice.learner-add', { name: 'Ilse' });
  await asked(before, 'practice.learner-choose', { id });
  expect((await asked(before, 'practice.course', {})).broken).toBeNull();
  await asked(before, 'practice.begin', { lesson: 'one-gram', on: 'simulated' });
  expect(await asked(before, 'practice.course', {})).toMatchObject({ underWay: 'one-gram', broken: null });
  /* What lies on the disk at this moment is what a crash leaves. */
  cpSync(join(folder, 'before'), join(folder, 'after'), { recursive: true });
  await before.close();
  expect(lastEvents(join(folder, 'after'))).toMatchObject([{ type: 'started' }]);

  const after = await opened(join(folder, 'after'));
  onTestFinished(async () => {
    await after.close();
    rmSync(folder, { recursive: true, force: true });
  });
  const course = await asked(after, 'practice.course', {});
  expect(course).toMatchObject({
    underWay: null,
    attempts: [],
    broken: { lesson: 'one-gram', title: '1.00 g within a window', who: 'Ilse' },
  });
  expect(await asked(after, 'practice.view', {})).toBeNull();
  expect((await asked(after, 'bench.view', {}, PRACTICE)).pour).toBeNull();
  expect((await asked(after, 'bench.view', {})).pour).toBeNull();
  const again = await asked(after, 'practice.begin', { lesson: 'one-gram', on: 'simulated' });
  expect(again).toMatchObject({ lesson: 'one-gram', done: false });
  expect((await asked(after, 'bench.view', {}, PRACTICE)).pour?.phase).toBe('vessel');
  expect((await asked(after, 'practice.course', {})).broken).toBeNull();
  const actions = (await asked(after, 'bench.view', {}, PRACTICE)).pour?.actions.map((one) => one.do);
  expect(actions).toContain('confirm-vessel');
  expect(actions).not.toContain('abandon');
  await expect(asked(after, 'pour.do', { do: 'abandon', reason: 'x' }, PRACTICE)).rejects.toThrow('lesson');
  await asked(after, 'practice.leave', {}, PRACTICE);
  expect(await asked(after, 'practice.course', {})).toMatchObject({ underWay: null, broken: null });
  const ends = [
    { type: 'abandoned', reason: 'the program ended during the lesson' },
    { type: 'abandoned', reason: 'the lesson was broken off' },
  ];
  expect(lastEvents(join(folder, 'after'))).toEqual(expect.arrayContaining(ends));
  expect(await asked(after, 'records.find', {})).toMatchObject({ rows: [] });
});
