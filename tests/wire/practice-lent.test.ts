import { mkdtempSync, rmSync, symlinkSync, unlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { servePty } from '../../drivers/simulated/pty.ts';
import { openHost } from '../../electron/host/host.ts';
import type { CallName, Input, Output } from '../../electron/host/table.ts';
import { workshopRows } from '../unit/practice/rows.ts';
import { served } from './pan.ts';

/** A lesson on the real balance of a second bench, with water, from the start to its feedback. */

const LINE = '9600 8N1';
const AT = { bench: '2' };
const PRACTICE = { bench: 'practice-2' };
const SOON = { timeout: 10_000, interval: 40 };

it('lends the balance of its bench, waits while it is unplugged, and gives it back; the workshop is untouched', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'pourwright-lent-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const { instrument, port } = await served(onTestFinished, {}, LINE);
  const path = join(folder, 'balance');
  symlinkSync(port.path, path);
  const { controls } = instrument;
  const data = join(folder, 'data');
  const host = await openHost({ data, capabilities: { saveDialog: null, menu: false }, demo: true });
  onTestFinished(() => host.close());

  async function asked<K extends CallName>(name: K, input: Input<K>, at: object): Promise<Output<K>> {
    const reply = await host.call(name, { ...(input as object), ...at });
    if (!reply.ok) throw new Error(`${name}: ${reply.trouble.what}`);
    return reply.value as Output<K>;
  }
  const live = async (at: object) => (await asked('bench.view', {}, at)).live;
  const shows = (figure: string, at: object = PRACTICE) =>
    expect.poll(() => live(at), SOON).toMatchObject({ figure, moving: false, link: 'live' });
  const linked = (link: string, at: object) =>
    expect.poll(async () => (await live(at)).link, SOON).toBe(link);
  const step = (does: 'done' | 'read') => asked('practice.do', { do: does }, PRACTICE);

  await asked('benches.add', {}, {});
  await asked('balance.choose', { kind: 'serial', path, shape: 'comma-headed', line: LINE }, AT);
  await shows('0.00', AT);
  const { id } = await asked('practice.learner-add', { name: 'Ilse' }, AT);
  await asked('practice.learner-choose', { id }, AT);
  expect((await asked('practice.course', {}, AT)).balance).not.toBeNull();
  const before = workshopRows(data);

  const begun = await asked('practice.begin', { lesson: 'settled-figure', on: 'bench' }, AT);
  expect(begun).toMatchObject({ simulated: false, learner: 'Ilse' });
  expect(await live(AT)).toMatchObject({ link: 'none' });
  expect((await asked('benches.list', {}, {})).map((one) => one.lesson)).toEqual([
    null,
    'Read a settled figure · Ilse',
  ]);
  await shows('0.00');
  await expect(asked('pipette.vessel', { on: true }, PRACTICE)).rejects.toThrow('simulated balance');
  await expect(asked('benches.remove', { id: '2' }, {})).rejects.toThrow('is under way at bench 2');
  await step('done');
  controls.putVessel(50);
  await shows('50.00');
  await step('done');
  await step('read');

  instrument.setFault('unplug');
  await port.close();
  await linked('lost', PRACTICE);
  await expect(step('done')).rejects.toThrow('The balance shows no figure.');
  expect(await asked('practice.benches', {}, AT)).toContainEqual(
    expect.objectContaining({ bench: '2', learner: 'Ilse', state: 'lost' }),
  );
  instrument.setFault(null);
  const again = await servePty(instrument, LINE);
  onTestFinished(() => again.close());
  unlinkSync(path);
  symlinkSync(again.path, path);
  controls.putVessel(50);
  await shows('50.00');

  controls.addDrop(1);
  await shows('51.00');
  await step('done');
  await step('read');
  controls.addDrop(0.15);
  await shows('51.15');
  await step('done');
  expect((await step('read')).done).toBe(true);
  const told = await asked('practice.finish', {}, PRACTICE);
  expect(told).toMatchObject({
    title: 'Read a settled figure',
    who: 'Ilse',
    balance: expect.stringContaining(path),
  });
  expect(told.findings.map((one) => one.rule)).toEqual(expect.arrayContaining(['settled', 'zero']));
  expect(told.trace.length).toBeGreaterThan(5);

  await shows('51.15', AT);
  expect(workshopRows(data)).toBe(before);
}, 60_000);

it('is not lent while a batch is on its bench, and a lesson broken off gives it back at once', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'pourwright-lent-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const { port } = await served(onTestFinished, {}, LINE);
  const host = await openHost({ data: folder, capabilities: { saveDialog: null, menu: false }, demo: true });
  onTestFinished(() => host.close());
  const call = (name: CallName, input: object) => host.call(name, input);
  const link = async () => {
    const reply = await call('bench.view', {});
    return reply.ok ? (reply.value as Output<'bench.view'>).live.link : reply.trouble.what;
  };
  await call('balance.choose', { kind: 'serial', path: port.path, shape: 'comma-headed', line: LINE });
  await expect.poll(link, SOON).toBe('live');
  const added = await call('practice.learner-add', { name: 'Ilse' });
  if (!added.ok) throw new Error(added.trouble.what);
  await call('practice.learner-choose', added.value as { id: string });
  expect(await call('practice.begin', { lesson: 'one-gram', on: 'bench' })).toMatchObject({ ok: true });
  expect(await link()).toBe('none');
  expect(await call('practice.leave', { bench: 'practice-1' })).toMatchObject({ ok: true });
  await expect.poll(link, SOON).toBe('live');
  expect(await call('pour.start', { formula: 'vetiver-dilution-10' })).toMatchObject({ ok: true });
  expect(await call('practice.begin', { lesson: 'one-gram', on: 'bench' })).toMatchObject({
    ok: false,
    trouble: { what: expect.stringContaining('is on bench 1') },
  });
}, 30_000);
