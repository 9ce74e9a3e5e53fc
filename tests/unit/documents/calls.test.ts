import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { verifyRecord } from '../../../core/record/verify.ts';
import { checkFolder } from '../../../electron/host/documents/check.ts';
import { codeText } from '../../../electron/host/documents/code-text.ts';
import { signatureHolds } from '../../../electron/host/documents/signature.ts';
import { type Host, openHost } from '../../../electron/host/host.ts';
import { checkFile } from '../../../electron/host/store/backup.ts';
import { sha256 } from '../../../electron/host/store/journal.ts';
import { openStore } from '../../../electron/host/store/store.ts';
import type { CallName, Input, Output } from '../../../electron/host/table.ts';
import { fillStore, TRACE, testFolder } from '../store/given.ts';

let folder = testFolder();
let host: Host;
let asked: string[] = [];
const at = (name: string): string => join(folder.path, name);

const open = (dialog: ((suggested: string) => Promise<string | null>) | null) =>
  openHost({ data: folder.path, capabilities: { saveDialog: dialog, menu: false } });

beforeEach(async () => {
  folder = testFolder();
  const store = openStore(folder.path);
  fillStore(store);
  store.close();
  asked = [];
  host = await open(async (suggested) => {
    asked.push(suggested);
    return at(`chosen-${suggested}`);
  });
});
afterEach(async () => {
  await host.close();
  folder.remove();
});

async function call<K extends CallName>(name: K, input: Input<K>): Promise<Output<K>> {
  const reply = await host.call(name, input);
  if (!reply.ok) throw new Error(`${reply.trouble.what} [${reply.trouble.where}] ${reply.trouble.next}`);
  return reply.value as Output<K>;
}

const refused = async (name: CallName, input: unknown): Promise<string> => {
  const reply = await host.call(name, input);
  if (reply.ok) throw new Error('it was answered');
  return `${reply.trouble.what} ${reply.trouble.next}`;
};

describe('the calls for records', () => {
  it('find by page and by field', async () => {
    const all = await call('records.find', { limit: 10 });
    expect(all.all).toBe(2);
    expect(all.rows.map((row) => [row.batch, row.status])).toEqual([
      ['torn', 'interrupted'],
      ['whole', 'closed'],
    ]);
    expect(all.rows[1]).toMatchObject({
      total: '22.20',
      strength: '10.96 %',
      worst: '0.00 %',
      trouble: null,
    });
    const kept = await call('records.find', { deviation: 'corrected', status: 'closed' });
    expect(kept.rows.map((row) => row.batch)).toEqual(['whole']);
    expect(await refused('records.find', { from: 'yesterday' })).toContain('2026-01-31');
  });

  it('tell what was planned beside what was poured, and what was not as planned', async () => {
    const view = await call('records.open', { batch: 'whole' });
    expect(view.lines[0]).toMatchObject({ target: '2.22', window: '± 0.02 g', deviation: '0.00' });
    expect(view.notAsPlanned.map(({ n, text }) => [n, text])).toEqual([
      [7, 'Exact correction chosen: targets times 1.11, nothing to top up.'],
      [10, 'Pour 2 voided: vessel touched. It is read again from 52.22 g.'],
    ]);
    expect(view.cautions).toEqual([]);
    const torn = await call('records.open', { batch: 'torn' });
    expect(torn.notAsPlanned).toEqual([]);
    expect(torn.strength).toMatchObject({ asMade: '–', u: '–', scale: null });
  });

  it('amend an ended batch, and no other', async () => {
    const amendment = { who: 'Ada', why: 'typed wrongly', text: 'The lid says cedar.' };
    expect(await call('records.amend', { batch: 'whole', ...amendment })).toEqual({ n: 17 });
    const view = await call('records.open', { batch: 'whole' });
    expect(view.events.at(-1)?.text).toBe('Amended by Ada, because typed wrongly: The lid says cedar.');
    expect(view.verified.ok).toBe(true);
    expect((await call('records.find', { deviation: 'amended' })).rows).toHaveLength(1);
    expect(await refused('records.amend', { batch: 'torn', ...amendment })).toContain('has not ended');
    expect(await refused('records.amend', { batch: 'whole', ...amendment, why: ' ' })).toContain('Say why');
    expect(await refused('records.amend', { batch: 'none', ...amendment })).toContain('no batch "none"');
  });

  it('recall, compare and follow a formula', async () => {
    const { rows, unread } = await call('records.recall', { lot: 'C50' });
    expect(rows).toMatchObject([{ batch: 'whole', share: '0.2', percent: '20 %', through: ['C50'] }]);
    expect(unread).toEqual([]);
    expect(await refused('records.recall', { lot: 'NONE' })).toContain('Check the code');
    const side = await call('records.compare', { a: 'whole', b: 'torn' });
    expect(side.total).toMatchObject({ a: '22.20', b: '0.00' });
    expect((await call('records.strengths', { formula: 'f1' })).map((one) => one.strength)).toEqual([
      '0.1096',
    ]);
  });

  it('give the readings of each capture with what was settled', async () => {
    const { traces, marks } = await call('records.traces', { batch: 'whole' });
    const [trace] = traces;
    expect(marks.filter(({ kind }) => kind === 'capture').length).toBeGreaterThan(0);
    expect(trace).toMatchObject({
      n: 4,
      type: 'captured',
      pour: 1,
      start: TRACE.start,
      readings: TRACE.readings,
    });
    expect(trace?.settled?.g).toBe('52.20');
  });

  it('open what a scanned code names, and say whether it is still as printed', async () => {
    const json = await call('records.document', { batch: 'whole', kind: 'json' });
    const { hash } = JSON.parse(Buffer.from(json.base64, 'base64').toString('utf8')).head;
    const text = codeText({ batch: 'whole', hash });
    expect(await call('codes.read', { text })).toEqual({ kind: 'record', batch: 'whole', unchanged: true });
    expect(await call('codes.read', { text: text.toUpperCase() })).toMatchObject({ batch: 'whole' });
    await call('records.amend', { batch: 'whole', who: 'a', why: 'b', text: 'c' });
    expect(await call('codes.read', { text })).toMatchObject({ kind: 'record', unchanged: false });
    expect(await call('codes.read', { text: 'r10' })).toEqual({ kind: 'lot', code: 'R10' });
    expect(await call('codes.read', { text: 'NONE' })).toMatchObject({
      kind: 'unknown',
      what: 'The code NONE is of no lot and no record here.',
    });
    expect(await call('codes.read', { text: codeText({ batch: 'else', hash }) })).toMatchObject({
      kind: 'unknown',
      what: 'The record else is not in this database.',
    });
  });
});

describe('the calls for documents', () => {
  it.each([
    ['record-pdf', '2026-11-25-rose-and-cedar-as-made.pdf', '%PDF-'],
    ['sheet-pdf', '2026-11-25-rose-and-cedar-sheet.pdf', '%PDF-'],
    ['json', '2026-11-25-rose-and-cedar.json', '{'],
    ['csv', '2026-11-25-rose-and-cedar.csv', 'batch;Rose and cedar'],
    ['readings-csv', '2026-11-25-rose-and-cedar-readings.csv', 'event;type'],
    ['folder', '2026-11-25-rose-and-cedar.zip', 'PK'],
  ] as const)('%s comes under its name', async (kind, name, begins) => {
    const file = await call('records.document', { batch: 'whole', kind, decimal: 'comma' });
    expect(file.name).toBe(name);
    expect(Buffer.from(file.base64, 'base64').toString('utf8').startsWith(begins)).toBe(true);
    expect(await call('records.document-save', { batch: 'whole', kind, decimal: 'comma' })).toEqual({
      unshown: [],
      path: at(`chosen-${name}`),
    });
    expect(readFileSync(at(`chosen-${name}`)).toString('base64')).toBe(file.base64);
    expect(asked).toEqual([name]);
  });

  it('sign once that is chosen', async () => {
    expect(await call('signing.state', {})).toEqual({ made: false, on: false, publicKey: null });
    expect(existsSync(at('pourwright.key.pem'))).toBe(false);
    const { publicKey } = await call('signing.set', { on: true });
    const file = await call('records.document', { batch: 'whole', kind: 'json' });
    const record = JSON.parse(Buffer.from(file.base64, 'base64').toString('utf8'));
    expect(record.signature.publicKey).toBe(publicKey);
    expect(signatureHolds(record)).toBe(true);
    expect(verifyRecord(sha256, record).ok).toBe(true);
    const folderFile = await call('records.document', { batch: 'whole', kind: 'folder' });
    expect(checkFolder(Buffer.from(folderFile.base64, 'base64'))).toMatchObject({ ok: true, signed: true });
    await call('signing.set', { on: false });
    expect(await call('signing.state', {})).toEqual({ made: true, on: false, publicKey: null });
  });
});

describe('the calls for the database', () => {
  it('back up where the dialog says, to a given path, or beside the database, and restore at the next start', async () => {
    const { path, counts } = await call('store.backup', {});
    expect(path).toContain('chosen-pourwright-');
    expect(checkFile(path ?? '')).toEqual(counts);
    expect((await call('store.backup', { path: at('given.sqlite') })).path).toBe(at('given.sqlite'));
    await call('records.amend', { batch: 'whole', who: 'a', why: 'b', text: 'c' });
    await call('store.restore', { path: at('given.sqlite') });
    await host.close();
    host = await open(null);
    expect((await call('records.open', { batch: 'whole' })).events).toHaveLength(16);
    const beside = await call('store.backup', {});
    expect(beside.path).toContain(join('backups', 'pourwright-'));
    expect(checkFile(beside.path ?? '').batches).toBe(2);
    expect(await call('store.restore-waits', {})).toEqual({ counts: null });
    await call('store.restore', { path: at('given.sqlite') });
    expect((await call('store.restore-waits', {})).counts).toMatchObject({ batches: 2 });
    await call('store.restore-forget', {});
    expect(await call('store.restore-waits', {})).toEqual({ counts: null });
    expect(existsSync(at('pourwright.to-restore.sqlite'))).toBe(false);
    expect(await refused('store.restore', { path: at('none') })).toContain('no such file');
    expect(await refused('records.document-save', { batch: 'whole', kind: 'csv' })).toContain(
      'no file dialog',
    );
  });
});
