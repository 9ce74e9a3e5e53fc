import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import Papa from 'papaparse';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Host, openHost } from '../../../electron/host/host.ts';
import type { CallName, Input, Output } from '../../../electron/host/table.ts';
import { pdfText } from '../documents/pdf-text.ts';

let folder = '';
let host: Host;
let saved: string | null = null;

const opened = () =>
  openHost({
    data: folder,
    demo: true,
    capabilities: { saveDialog: async (name) => (saved = join(folder, name)), menu: false },
  });
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-checking-'));
  host = await opened();
  await ask('balance.choose', { kind: 'typed' });
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
const type = async (...figures: string[]): Promise<void> => {
  for (const text of figures) await ask('balance.type', { text });
};
const run = () => ask('care.run', {});
const does = (what: Input<'care.do'>['do']) => ask('care.do', { do: what });

const WEIGHTS = { parts: ['100'], weightClass: 'F2' } as const;

async function daily(on: string): Promise<void> {
  await ask('care.begin', { kind: 'daily', weights: { ...WEIGHTS, parts: [...WEIGHTS.parts] } });
  await type('0.00');
  await does('take');
  await type(on, '0.00');
}

/** A run of so many weighings, or of the fewest there may be and then not all of them. */
async function repeatability(nets: readonly string[]): Promise<void> {
  await ask('care.begin', { kind: 'repeatability', load: null, n: Math.max(5, nets.length) });
  await type('0.00');
  await does('take');
  for (const net of nets) await type(net, '0.00');
}

/** A dilution of 2.00 g in 20.00 g by typed figures. @returns its strength as the record has it */
async function poured() {
  const { pour } = await ask('pour.start', { formula: 'vetiver-dilution-10' });
  const next = (what: Input<'pour.do'>['do']) => ask('pour.do', { do: what });
  await type('50.00');
  await next('confirm-vessel');
  await next('confirm-bottle');
  await type('52.00');
  await next('confirm-bottle');
  await type('70.00', '70.00');
  await next('close');
  await ask('pour.leave', {});
  return (await ask('records.open', { batch: pour?.batch ?? '' })).strength;
}

describe('a check on the bench', () => {
  it('is stored as it ends, shown as the last check, told in the record of the next batch, and there after a restart', async () => {
    await daily('99.95');
    expect(await run()).toMatchObject({ phase: 'done', result: { verdict: 'fail' } });
    expect(await does('leave')).toBeNull();
    const { check } = await ask('care.view', {});
    expect(check).toMatchObject({ verdict: 'fail', overdue: false });
    expect(check.text).toMatch(/^Daily check failed, .*error -0\.05 g, limit ± 0\.02 g/);
    const { pour } = await ask('pour.start', { formula: 'vetiver-dilution-10' });
    expect((await ask('records.open', { batch: pour?.batch ?? '' })).check).toEqual(check);
    await host.close();
    host = await opened();
    const [row] = await ask('care.history', {});
    expect(row).toMatchObject({ kind: 'daily', verdict: 'fail', main: { g: '-0.05', low: '-0.02' } });
    expect(row?.taken.map((one) => one.g)).toEqual(['0.00', '99.95', '0.00']);
  });

  it('is overdue after its hours', async () => {
    await daily('100.00');
    const { profile } = await ask('care.view', {});
    await host.close();
    const db = new Database(join(folder, 'pourwright.sqlite'));
    const kept = db.prepare('SELECT * FROM balance_check').get() as Record<string, string>;
    const yesterday = new Date(Date.now() - 13 * 3_600_000).toISOString();
    db.prepare('INSERT INTO balance_check (profile, at, kind, body) VALUES (?, ?, ?, ?)').run(
      kept.profile,
      yesterday,
      'daily',
      kept.body,
    );
    expect(() => db.prepare('DELETE FROM balance_check').run()).toThrow(/append-only/);
    expect(() => db.prepare("UPDATE balance_check SET at = ''").run()).toThrow(/append-only/);
    db.close();
    host = await opened();
    expect((await ask('care.view', {})).check).toMatchObject({ verdict: 'pass', overdue: true });
    await ask('care.keep', { ...profile, dueHours: 24 });
    expect((await ask('care.view', {})).check).toMatchObject({ verdict: 'pass', overdue: false });
  });

  it('that cannot be read is told where it would have counted, and blocks nothing', async () => {
    await daily('100.00');
    await does('leave');
    await repeatability(['50.00', '50.06', '49.95', '50.00', '50.04']);
    await does('leave');
    await host.close();
    const db = new Database(join(folder, 'pourwright.sqlite'));
    const add = db.prepare('INSERT INTO balance_check (profile, at, kind, body) VALUES (?, ?, ?, ?)');
    add.run('typed', '2026-11-25T11:00:00.000Z', 'daily', '{"order":');
    add.run('typed', '2026-11-25T11:01:00.000Z', 'repeatability', '{"order":{"kind":"other"}}');
    db.close();
    host = await opened();
    const { check, from, limits } = await ask('care.view', {});
    expect(check).toMatchObject({ verdict: 'pass', overdue: true });
    expect(check.text).toContain('Check 3 of 2026-11-25 11:00 UTC cannot be read');
    expect(Number(limits.s)).toBeCloseTo(0.0424264, 7);
    expect(from.s).toContain('Check 4 of 2026-11-25 11:01 UTC cannot be read');
    const rows = await ask('care.history', {});
    expect(rows.map((row) => row.verdict)).toEqual(['unreadable', 'unreadable', 'fail', 'pass']);
    await ask('care.document-save', { kind: 'csv' });
    expect(readFileSync(saved ?? '', 'utf8').match(/cannot be read/g)).toHaveLength(2);
    const { base64 } = await ask('care.document', { kind: 'pdf' });
    expect(await pdfText(Buffer.from(base64, 'base64'))).toContain('cannotberead');
    const { pour } = await ask('pour.start', { formula: 'vetiver-dilution-10' });
    expect((await ask('records.open', { batch: pour?.batch ?? '' })).check).toEqual(check);
  });

  it('measures an s that counts in plans and in the record from then on, never below 0.41 d', async () => {
    const draft = { formula: 'hedge-bank-4', size: { by: 'mass', g: '60' } } as const;
    const sureness = async () => (await ask('formulas.plan', draft)).steps.map((step) => step.sureness);
    const before = await sureness();
    expect((await poured()).u).toMatch(/^± 0\.0\d+ %$/);
    await repeatability(['50.00', '50.00', '50.00', '50.00', '50.00']);
    await does('leave');
    expect((await ask('care.view', {})).limits.s).toBe('0.0041');
    await repeatability(['50.00', '50.06', '49.95', '50.00', '50.04']);
    await does('leave');
    const { limits, from } = await ask('care.view', {});
    expect(Number(limits.s)).toBeCloseTo(0.0424264, 7);
    expect(from.s).toMatch(/n = 5, standard uncertainty 0\.015 g/);
    expect(await sureness()).not.toEqual(before);
    // Three readings of s / √2 = 0.03 g each: U = 2 × 0.03 g √(0.9² + 1 + 0.1²) / 20 g, beside which all else is small.
    expect(Number(/[\d.]+/.exec((await poured()).u)?.[0])).toBeCloseTo(0.4, 2);
  });

  it('is led through otherwise where figures come one by one, and nothing is seen in between', async () => {
    await ask('care.begin', { kind: 'drift', load: null, minutes: 10 });
    await type('0.00');
    await does('take');
    await type('50.00');
    expect((await run())?.step?.says).toContain('Let a figure come every minute or so');
    await does('stop');
    await does('leave');
    await ask('care.begin', { kind: 'drops', count: 5 });
    await type('50.00');
    expect((await run())?.step?.says).toContain('Let a figure come after each');
    await type('50.03', '50.06', '50.09', '50.11', '50.14');
    expect(await does('end')).toMatchObject({ result: { verdict: 'pass' } });
  });

  it('stopped is kept as stopped, and does not count as a check', async () => {
    await ask('care.begin', { kind: 'daily', weights: { ...WEIGHTS, parts: ['100'] } });
    await type('0.00');
    await does('take');
    expect(await does('stop')).toMatchObject({ phase: 'stopped' });
    expect((await ask('care.history', {}))[0]).toMatchObject({ verdict: 'stopped', result: null });
    expect((await ask('care.view', {})).check.verdict).toBe('none');
  });

  it('under way when the program ends is kept with its figures as stopped, once; one that ended is not kept again', async () => {
    await daily('100.00');
    await does('leave');
    await repeatability(['50.00', '50.06']);
    await host.close();
    host = await opened();
    const verdicts = async () => (await ask('care.history', {})).map((row) => row.verdict);
    expect((await ask('care.history', {}))[0]?.taken.map((one) => one.g)).toEqual([
      '0.00',
      '50.00',
      '0.00',
      '50.06',
      '0.00',
    ]);
    await host.close();
    host = await opened();
    expect(await verdicts()).toEqual(['stopped', 'pass']);
    await daily('100.01');
    await host.close();
    host = await opened();
    expect(await verdicts()).toEqual(['pass', 'stopped', 'pass']);
  });

  it('is refused without a balance, beside a batch, beside another, and for a load it cannot take', async () => {
    const order = { kind: 'repeatability', load: null, n: 5 } as const;
    await expect(ask('care.begin', { ...order, load: '500' })).rejects.toThrow(/above the capacity/);
    await expect(ask('care.begin', { ...order, n: 3 })).rejects.toThrow(/from 5 to 10, not 3/);
    await ask('care.begin', order);
    await expect(ask('care.begin', order)).rejects.toThrow(/under way/);
    await expect(does('end')).rejects.toThrow(/nothing to end/);
    await ask('pour.start', { formula: 'vetiver-dilution-10' });
    expect(await run()).toMatchObject({ phase: 'stopped' });
    await expect(ask('care.begin', order)).rejects.toThrow(/is on this bench/);
    await expect(ask('care.weight', { g: '100' })).rejects.toThrow(/stands on the pan/);
  });

  it('goes to the checks of the balance it was made on, and to no other', async () => {
    await daily('100.00');
    await ask('balance.choose', { kind: 'simulated' });
    expect(await ask('care.history', {})).toEqual([]);
    await ask('care.weight', { g: '100' });
    await ask('balance.choose', { kind: 'typed' });
    expect(await ask('care.history', {})).toHaveLength(1);
    await expect(ask('care.weight', { g: '100' })).rejects.toThrow(/simulated balance/);
  });
});

describe('checks on paper', () => {
  it('hold every figure in CSV, and what was found with its rule in the PDF', async () => {
    await daily('100.01');
    await does('leave');
    await daily('99.98');
    await does('leave');
    await repeatability(['50.00', '50.01', '50.00', '50.01', '50.00']);
    await ask('care.document-save', { kind: 'csv' });
    const rows = Papa.parse<string[]>(readFileSync(saved ?? '', 'utf8').trimEnd()).data;
    expect(rows.filter((row) => row[4] === 'weight on').map((row) => row[6])).toEqual(['100.01', '99.98']);
    expect(rows.find((row) => row[4] === 'standard deviation s')?.[6]).toBe('0.00547723');
    const { base64, name } = await ask('care.document', { kind: 'pdf' });
    expect(name).toMatch(/-balance-checks\.pdf$/);
    const text = await pdfText(Buffer.from(base64, 'base64'));
    for (const said of ['read100.01g:error+0.01g', 'OIMLR76-1,table6', 'OIMLR111-1,table1', 'Repeatability'])
      expect(text).toContain(said);
  });
});
