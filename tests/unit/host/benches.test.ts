import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Host, type HostReply, openHost } from '../../../electron/host/host.ts';
import { BenchView } from '../../../electron/host/table.ts';

let folder = '';
let host: Host;

const opened = () => openHost({ data: folder, demo: true, capabilities: { saveDialog: null, menu: false } });
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-benches-'));
  host = await opened();
});
afterEach(async () => {
  await host.close();
  rmSync(folder, { recursive: true, force: true });
});

async function ask(name: string, input: object = {}): Promise<unknown> {
  const reply: HostReply = await host.call(name, input);
  if (!reply.ok) throw new Error(`${reply.trouble.what} ${reply.trouble.next}`);
  return reply.value;
}
const view = async (bench?: string) =>
  BenchView.parse(await ask('bench.view', bench === undefined ? {} : { bench }));
const typed = (bench: string) => ask('balance.choose', { kind: 'typed', bench });
const start = (bench: string) => ask('pour.start', { formula: 'vetiver-dilution-10', bench });

describe('several benches', () => {
  it('begin as one, which every call means that names none', async () => {
    expect(await ask('benches.list')).toEqual([
      { id: '1', what: 'simulated balance', link: expect.any(String), batch: null, lesson: null },
    ]);
    await ask('balance.choose', { kind: 'typed' });
    expect((await view('1')).live).toMatchObject({ typed: true });
  });

  it('have a balance and a batch each, and tell views apart', async () => {
    const heard: (string | undefined)[] = [];
    host.onBench((seen) => heard.push(seen.bench));
    await ask('benches.add');
    await typed('1');
    await typed('2');
    await start('1');
    await start('2');
    heard.length = 0;
    await ask('balance.type', { text: '50.00', bench: '2' });
    expect(new Set(heard)).toEqual(new Set(['2']));
    expect((await view('1')).live.g).toBeNull();
    expect(await view('2')).toMatchObject({ bench: '2', live: { g: '50.00' } });
    await ask('pour.do', { do: 'confirm-vessel', bench: '2' });
    expect((await view('2')).pour?.phase).toBe('bottle');
    expect((await view('1')).pour?.phase).toBe('vessel');
    expect((await view('1')).pour?.batch).not.toBe((await view('2')).pour?.batch);
  });

  it('are there after a restart, each with its balance and its batch; one batch is never on two', async () => {
    await ask('benches.add');
    await typed('2');
    await start('1');
    await start('2');
    const batches = [(await view('1')).pour?.batch, (await view('2')).pour?.batch];
    await host.close();
    host = await opened();
    expect([(await view('1')).pour?.batch, (await view('2')).pour?.batch]).toEqual(batches);
    expect((await view('1')).live.typed).toBe(false);
    expect((await view('2')).live.typed).toBe(true);
    await expect(ask('pour.take-up', { batch: batches[1], bench: '1' })).rejects.toThrow(
      'This batch is on bench 2. Go to bench 2',
    );
  });

  it('go only when nothing is on them, and never the last; their balance is forgotten', async () => {
    await ask('benches.add');
    await typed('2');
    await start('2');
    await expect(ask('benches.remove', { id: '2' })).rejects.toThrow('is on bench 2.');
    await ask('pour.do', { do: 'abandon', reason: 'only to look', bench: '2' });
    await ask('pour.leave', { bench: '2' });
    expect(await ask('benches.remove', { id: '2' })).toHaveLength(1);
    await expect(view('2')).rejects.toThrow('There is no bench 2.');
    await expect(ask('benches.remove', { id: '1' })).rejects.toThrow('the only bench');
    await ask('benches.add');
    expect((await view('2')).live.link).toBe('none');
  });

  it('are eight at most, and named by text', async () => {
    for (let n = 2; n <= 8; n += 1) await ask('benches.add');
    await expect(ask('benches.add')).rejects.toThrow('8 benches already');
    await expect(ask('bench.view', { bench: 2 })).rejects.toThrow('as text');
  });
});
