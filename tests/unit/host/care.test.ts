import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { identityOf } from '../../../electron/host/care/profile.ts';
import { type Host, openHost } from '../../../electron/host/host.ts';
import type { CallName, Input, Output } from '../../../electron/host/table.ts';

let folder = '';
let host: Host;

const opened = (demo = false) =>
  openHost({ data: folder, demo, capabilities: { saveDialog: null, menu: false } });
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-care-'));
  host = await opened();
});
afterEach(async () => {
  await host.close();
  rmSync(folder, { recursive: true, force: true });
});

async function ask<K extends CallName>(name: K, input: Input<K>): Promise<Output<K>> {
  const reply = await host.call(name, input);
  if (!reply.ok) throw new Error(`${reply.trouble.what} ${reply.trouble.next}`);
  return reply.value as Output<K>;
}

describe('by what a balance is known again', () => {
  const serial = { kind: 'serial', path: '/dev/ttyUSB0', shape: 'plain', line: '9600 8N1' } as const;
  const device = { vendorId: '0403', productId: '6001' };

  it('is its serial number at any socket, else the socket, else port and shape', () => {
    const own = { ...device, serialNumber: 'A1' };
    expect(identityOf({ ...serial, device: own }).id).toBe(
      identityOf({ ...serial, path: '/dev/ttyUSB7', device: own }).id,
    );
    expect(identityOf({ ...serial, device }).id).not.toBe(
      identityOf({ ...serial, path: '/dev/ttyUSB7', device }).id,
    );
    expect(identityOf(serial).id).toBe('port /dev/ttyUSB0 plain');
    expect(identityOf({ kind: 'simulated' }).id).toBe('simulated');
    expect(identityOf({ kind: 'typed' }).id).toBe('typed');
  });
});

describe('the profile of a balance', () => {
  const profile = async () => (await ask('care.view', {})).profile;

  it('gives the limits of every plan and the name in the record, and is there after a restart', async () => {
    await host.close();
    host = await opened(true);
    await ask('balance.choose', { kind: 'typed' });
    const before = await ask('care.view', {});
    expect(before.limits).toEqual({ d: '0.01', s: '0.0041', c: '0.0001', capacity: '200' });
    expect(before.check).toMatchObject({ verdict: 'none', overdue: true });
    const named = { ...before.profile, name: 'by the window', serial: 'S-7', d: '0.02', capacity: '300' };
    const kept = await ask('care.keep', named);
    expect(kept.limits).toEqual({ d: '0.02', s: '0.0082', c: '0.0001', capacity: '300' });
    const { pour } = await ask('pour.start', { formula: 'vetiver-dilution-10' });
    await host.close();
    host = await opened();
    expect(await profile()).toEqual(named);
    const record = await ask('records.open', { batch: pour?.batch ?? '' });
    expect(record).toMatchObject({ balance: 'by the window', serial: 'S-7', check: { verdict: 'none' } });
    expect(record.verified.ok).toBe(true);
  });

  it('is refused where it cannot be true, and nothing is kept', async () => {
    const unknown = await profile();
    await expect(ask('care.keep', unknown)).rejects.toThrow(/No balance is chosen/);
    await ask('balance.choose', { kind: 'typed' });
    await ask('balance.type', { text: '50.00' });
    await expect(ask('care.keep', { ...unknown, d: '0.001' })).rejects.toThrow(/steps of 0.01 g/);
    await expect(ask('care.keep', { ...unknown, d: '0.1', e: '0.01' })).rejects.toThrow(/finer than d/);
    await expect(ask('care.keep', { ...unknown, capacity: '0' })).rejects.toThrow(/grams above zero/);
    await expect(ask('care.keep', { ...unknown, balanceClass: 'III', e: '0.01' })).rejects.toThrow(
      /at most 10000 steps/,
    );
    await expect(ask('care.keep', { ...unknown, c: '0.5' })).rejects.toThrow(/a tenth or more/);
    await expect(ask('care.keep', { ...unknown, c: '0' })).rejects.toThrow(/a share above zero/);
    await expect(ask('care.keep', { ...unknown, warmUpMinutes: 5000 })).rejects.toThrow(/from 0 to 1440/);
    await expect(ask('care.keep', { ...unknown, dueHours: Number.NaN })).rejects.toThrow(
      /the hours as a whole/,
    );
    const weight = (part: string, weightClass: 'F2' | 'M3') => ({ parts: [part], weightClass });
    await expect(ask('care.keep', { ...unknown, weight: weight('3', 'F2') })).rejects.toThrow(
      /not in the table/,
    );
    await expect(ask('care.keep', { ...unknown, weight: weight('0.5', 'M3') })).rejects.toThrow(
      /not defined/,
    );
    expect(await profile()).toEqual(unknown);
  });
});
