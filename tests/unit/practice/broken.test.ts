import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { type Host, openHost } from '../../../electron/host/host.ts';
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
  await asked(after, 'practice.leave', {}, PRACTICE);
  expect(await asked(after, 'practice.course', {})).toMatchObject({ underWay: null, broken: null });
});
