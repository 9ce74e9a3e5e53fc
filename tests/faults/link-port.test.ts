import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, symlinkSync, unlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { serialBalance, tryPort } from '../../drivers/link/serial.ts';
import { simulatedBalance } from '../../drivers/simulated/simulated-balance.ts';
import { listening, served, weights } from '../wire/pan.ts';

const balanceAt = (path: string) => serialBalance({ path, shape: 'comma-headed', line: '9600 8N1' });

function link(): string {
  const folder = mkdtempSync(join(tmpdir(), 'port-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return join(folder, 'balance');
}

describe('a port that cannot be opened', () => {
  it('is unknown: says so, and what there is', async () => {
    await expect(tryPort('/dev/no-such-port', '9600 8N1')).rejects.toMatchObject({
      kind: 'unknown-port',
      message: 'There is no port /dev/no-such-port.',
      where: '/dev/no-such-port',
      next: expect.stringMatching(/Choose one of|No serial port is there/),
    });
    const { states } = listening(onTestFinished, balanceAt('/dev/no-such-port'));
    await expect
      .poll(() => states.at(-1))
      .toMatchObject({
        kind: 'lost',
        why: expect.stringContaining('There is no port'),
        retrying: true,
      });
  });

  it('is busy: says so, and takes it up once it is free', async () => {
    const { port } = await served(onTestFinished);
    const first = balanceAt(port.path);
    listening(onTestFinished, first);
    await expect.poll(() => first.state.kind).toBe('live');
    await expect(tryPort(port.path, '9600 8N1')).rejects.toMatchObject({ kind: 'busy' });
    const second = balanceAt(port.path);
    listening(onTestFinished, second);
    await expect
      .poll(() => second.state)
      .toMatchObject({ kind: 'lost', why: expect.stringContaining('in use by another program') });
    await first.stop();
    const freed = Date.now();
    await expect.poll(() => second.state.kind, { timeout: 3000 }).toBe('live');
    expect(Date.now() - freed).toBeLessThan(2000);
  });

  it.skipIf(process.getuid?.() === 0)('is without rights: names the group', async () => {
    await expect(tryPort('/dev/ttyS0', '9600 8N1')).rejects.toMatchObject({ kind: 'no-rights' });
  });
  if (process.getuid?.() === 0)
    console.warn(
      'skipped: "is without rights", because root may open every port (its words: tests/unit/link/rights)',
    );

  it('has bad settings or an unknown shape: throws before anything is opened', () => {
    const options = { path: '/dev/x', shape: 'comma-headed', line: '9600 8N1' };
    expect(() => serialBalance({ ...options, line: '9600' })).toThrow('not of the form');
    expect(() => serialBalance({ ...options, shape: 'G1' })).toThrow('There is no line shape "G1"');
  });
});

describe('a port that goes away', () => {
  it('is said to be lost within 2 s and is taken up again within 2 s of its return, with nothing glued on', async () => {
    const path = link();
    const first = await served(onTestFinished);
    symlinkSync(first.port.path, path);
    const balance = balanceAt(path);
    const { observations } = listening(onTestFinished, balance);
    await expect.poll(() => weights(observations)).toContain('0.00 stable');
    first.port.write(Buffer.from('ST,+0001'));
    await first.port.close();
    const gone = Date.now();
    await expect.poll(() => balance.state, { timeout: 3000 }).toMatchObject({ kind: 'lost', retrying: true });
    expect(Date.now() - gone).toBeLessThan(2000);
    unlinkSync(path);
    const before = observations.length;
    await new Promise((resolve) => setTimeout(resolve, 1500));
    expect(observations.length).toBe(before);

    const second = await served(onTestFinished);
    symlinkSync(second.port.path, path);
    const back = Date.now();
    await expect.poll(() => balance.state.kind, { timeout: 3000 }).toBe('live');
    expect(Date.now() - back).toBeLessThan(2000);
    expect(observations.slice(before).filter((one) => one.kind !== 'weight')).toEqual([]);
    expect(new Set(weights(observations.slice(before)).map((one) => one.replace(' stable', '')))).toEqual(
      new Set(['0.00']),
    );
  });

  it('is silent after 2 s without a line, and live again with the next', async () => {
    const { instrument, port } = await served(onTestFinished);
    const balance = balanceAt(port.path);
    listening(onTestFinished, balance);
    await expect.poll(() => balance.state.kind).toBe('live');
    instrument.receive(Buffer.from('C\r\n'));
    const since = Date.now();
    await expect.poll(() => balance.state.kind, { timeout: 4000 }).toBe('silent');
    expect(Date.now() - since).toBeLessThan(2500);
    instrument.receive(Buffer.from('SIR\r\n'));
    await expect.poll(() => balance.state.kind).toBe('live');
  });

  it('is free again as soon as stop has resolved, also while an opening is under way', async () => {
    const { port } = await served(onTestFinished);
    for (let k = 0; k < 5; k++) {
      const balance = balanceAt(port.path);
      balance.start();
      await new Promise((resolve) => setTimeout(resolve, k * 10));
      await balance.stop();
      expect(balance.state.kind).toBe('none');
      await tryPort(port.path, '9600 8N1');
    }
  });

  it('leaves no timer behind: a program that stopped its balances ends', () => {
    const code = `
      import { serialBalance } from './drivers/link/serial.ts';
      import { simulatedBalance } from './drivers/simulated/simulated-balance.ts';
      for (const balance of [
        serialBalance({ path: '/dev/no-such-port', shape: 'comma-headed', line: '9600 8N1' }),
        simulatedBalance(),
      ]) { balance.start(); await new Promise((r) => setTimeout(r, 50)); await balance.stop(); }
      console.log('ended');`;
    const out = execFileSync(process.execPath, ['--input-type=module-typescript', '-e', code], {
      cwd: join(import.meta.dirname, '../..'),
      timeout: 20_000,
      encoding: 'utf8',
    });
    expect(out).toContain('ended');
  });
});

describe('garbage on the wire', () => {
  it('is refused with its reason and never weighed; good lines go on being read', async () => {
    const { instrument, port } = await served(onTestFinished, { streams: false });
    const balance = balanceAt(port.path);
    const { observations } = listening(onTestFinished, balance);
    await new Promise((resolve) => setTimeout(resolve, 200));
    port.write(Buffer.from([0x0d, 0xff, 0x00, 0x80, 0x07, 0x0d]));
    await expect.poll(() => observations.at(-1)).toMatchObject({ kind: 'refused', raw: '\xff\x00\x80\x07' });
    port.write(Buffer.from('9'.repeat(3000)));
    await expect
      .poll(() => observations.at(-1))
      .toMatchObject({ kind: 'refused', why: expect.stringContaining('longer than') });
    port.write(Buffer.from('\r\nST,+00012.34 xx\r\n'));
    await expect
      .poll(() => observations.at(-1))
      .toMatchObject({ kind: 'refused', why: expect.stringContaining('unknown unit "xx"') });
    expect(weights(observations)).toEqual([]);
    instrument.receive(Buffer.from('S\r\n'));
    await expect.poll(() => weights(observations)).toEqual(['0.00 stable']);
  });

  it('is not taken for a live balance', async () => {
    const { port } = await served(onTestFinished, { streams: false });
    const balance = balanceAt(port.path);
    const { states } = listening(onTestFinished, balance);
    const noise = setInterval(() => port.write(Buffer.from('\x00\xf8\x1e\r\x78\x80\n')), 50);
    onTestFinished(() => clearInterval(noise));
    await expect
      .poll(() => balance.state, { timeout: 4000 })
      .toMatchObject({
        kind: 'silent',
        advice: expect.stringContaining('Bytes arrive'),
      });
    expect(states.some((state) => state.kind === 'live')).toBe(false);
  });
});

describe('keys that cannot be pressed', () => {
  it('say why', async () => {
    await expect(simulatedBalance().press('tare')).rejects.toMatchObject({ kind: 'lost' });
    await expect(balanceAt('/dev/no-such-port').press('zero')).rejects.toMatchObject({ kind: 'lost' });
  });
});
