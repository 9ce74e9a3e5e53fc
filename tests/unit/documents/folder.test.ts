import { chmodSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { strToU8, unzipSync, zipSync } from 'fflate';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { batchFolder } from '../../../electron/host/documents/batch-folder.ts';
import { checkFolder, checkRecord } from '../../../electron/host/documents/check.ts';
import { codeText, readCode } from '../../../electron/host/documents/code-text.ts';
import { bytesHash, MANIFEST_NAME, type Manifest } from '../../../electron/host/documents/manifest.ts';
import { signatureHolds, signingKey } from '../../../electron/host/documents/signature.ts';
import { recordOf } from '../../../electron/host/record-view.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { fillStore, testFolder } from '../store/given.ts';
import { plainRecord } from './given.ts';

let folder = testFolder();
let store: Store;
beforeEach(() => {
  folder = testFolder();
  store = openStore(folder.path);
  fillStore(store);
});
afterEach(() => {
  store.close();
  folder.remove();
});

const pack = () => batchFolder(recordOf(store.journal, 'whole'), store.journal, 'point');
/* The same bytes each time, which a test below asserts: most need it only once. */
let whole: Promise<Uint8Array> | null = null;
const packed = (): Promise<Uint8Array> => {
  whole ??= pack();
  return whole;
};

/** The archive with files changed, taken out (null) or put in. */
function changed(archive: Uint8Array, files: Record<string, ((text: string) => string) | null>): Uint8Array {
  const all: Record<string, Uint8Array> = { ...unzipSync(archive) };
  for (const [name, edit] of Object.entries(files)) {
    if (edit === null) delete all[name];
    else all[name] = strToU8(edit(new TextDecoder().decode(all[name] ?? new Uint8Array())));
  }
  return zipSync(all);
}

/** The manifest made to fit what a file now is. */
const fitting =
  (name: string, text: string) =>
  (said: string): string => {
    const manifest = JSON.parse(said) as Manifest;
    const bytes = strToU8(text);
    const files = manifest.files.map((one) =>
      one.name === name ? { name, bytes: bytes.length, sha256: bytesHash(bytes) } : one,
    );
    return JSON.stringify({ ...manifest, files });
  };

const wheres = (archive: Uint8Array): string[] => checkFolder(archive).problems.map((one) => one.where);

describe('a batch folder', () => {
  it('holds everything of a batch and checks', async () => {
    const archive = await packed();
    expect(Object.keys(unzipSync(archive)).sort()).toEqual([
      'as-made.csv',
      'as-made.json',
      'as-made.pdf',
      'batch-sheet.pdf',
      'manifest.json',
      'readings.csv',
    ]);
    expect(checkFolder(archive)).toMatchObject({ ok: true, problems: [], signed: null });
    const readings = new TextDecoder().decode(unzipSync(archive)['readings.csv']);
    expect(readings.split('\r\n').slice(0, 3)).toEqual([
      'event,type,pour,time (UTC),gross (g)',
      '4,captured,1,2026-11-25T09:00:00.000Z,50.00',
      '4,captured,1,2026-11-25T09:00:00.098Z,50.61',
    ]);
  });

  it('is the same bytes each time', async () => {
    expect(bytesHash(await pack())).toBe(bytesHash(await packed()));
  });

  it.each([
    ['as-made.csv', 'rose line,R10,2.22', 'rose line,R10,2.23'],
    ['readings.csv', '50.61', '50.62'],
    ['as-made.json', '"net": "2.20"', '"net": "2.21"'],
  ])('names %s when a digit of it was changed', async (name, from, to) => {
    const archive = await packed();
    const torn = changed(archive, { [name]: (text) => text.replace(from, to) });
    expect(checkFolder(torn).problems[0]).toMatchObject({ where: name });
    expect(checkFolder(torn).problems[0]?.what).toContain('was altered');
  });

  it('names a byte of a PDF, a file taken out and one put in', async () => {
    const archive = await packed();
    const files: Record<string, Uint8Array> = { ...unzipSync(archive) };
    const pdf = Uint8Array.from(files['as-made.pdf'] ?? []);
    pdf[1000] = (pdf[1000] ?? 0) ^ 1;
    expect(wheres(zipSync({ ...files, 'as-made.pdf': pdf }))).toEqual(['as-made.pdf']);
    expect(wheres(changed(archive, { 'batch-sheet.pdf': null }))).toEqual(['batch-sheet.pdf']);
    expect(wheres(changed(archive, { 'note.txt': () => 'x' }))).toEqual(['note.txt']);
    expect(wheres(changed(archive, { [MANIFEST_NAME]: null }))).toEqual([MANIFEST_NAME]);
    expect(wheres(changed(archive, { 'as-made.json': null }))).toContain('as-made.json');
  });

  it('names the line of the table, or the event, though the manifest was made to fit', async () => {
    const archive = await packed();
    const old = unzipSync(archive);
    const table = new TextDecoder()
      .decode(old['as-made.csv'])
      .replace('rose line,R10,2.22', 'rose line,R10,2.23');
    const line = table.split('\r\n').findIndex((one) => one.startsWith('rose line')) + 1;
    const first = changed(archive, {
      'as-made.csv': () => table,
      [MANIFEST_NAME]: fitting('as-made.csv', table),
    });
    expect(wheres(first)).toEqual([`as-made.csv, line ${line}`]);
    const record = new TextDecoder().decode(old['as-made.json']).replace('"net": "2.20"', '"net": "2.21"');
    const second = changed(archive, {
      'as-made.json': () => record,
      [MANIFEST_NAME]: fitting('as-made.json', record),
    });
    expect(checkFolder(second).problems[0]).toMatchObject({ where: 'as-made.json: events[3]' });
  });

  it('says that something is no archive', () => {
    expect(checkFolder(strToU8('not an archive')).problems[0]?.where).toBe('archive');
    expect(checkFolder(new Uint8Array()).ok).toBe(false);
  });

  it('cut short at any length is never taken for whole', async () => {
    const archive = await packed();
    for (let i = 1; i < 40; i += 1)
      expect(checkFolder(archive.subarray(0, Math.floor((archive.length * i) / 40))).ok).toBe(false);
  });
});

describe('the signature', () => {
  it('is made by a key that only its owner reads, and holds', () => {
    const key = signingKey(folder.path);
    const path = join(folder.path, 'pourwright.key.pem');
    if (process.platform !== 'win32') expect(statSync(path).mode & 0o777).toBe(0o600);
    expect(signingKey(folder.path).publicKey).toBe(key.publicKey);
    const signed = key.sign(plainRecord);
    expect(signatureHolds(signed)).toBe(true);
    expect(signatureHolds(plainRecord)).toBeNull();
    expect(checkRecord(JSON.parse(JSON.stringify(signed)))).toMatchObject({ ok: true, signed: true });
  });

  it('fails on any change, another key, or a key that is none', () => {
    const key = signingKey(folder.path);
    const signed = key.sign(plainRecord);
    const { signature } = signed;
    if (signature === undefined) throw new Error('not signed');
    const renamed = { ...signed, batch: { ...signed.batch, operator: 'another' } };
    expect(signatureHolds(renamed)).toBe(false);
    const elsewhere = testFolder();
    const other = signingKey(elsewhere.path).publicKey;
    elsewhere.remove();
    expect(signatureHolds({ ...signed, signature: { ...signature, publicKey: other } })).toBe(false);
    const none = Buffer.alloc(32, 0xff).toString('base64');
    expect(signatureHolds({ ...signed, signature: { ...signature, publicKey: none } })).toBe(false);
    const verdict = checkRecord(
      JSON.parse(JSON.stringify({ ...signed, signature: { ...signature, publicKey: other } })),
    );
    expect(verdict.problems).toEqual([
      { where: 'signature', what: 'the signature is not of this record by the key that it names' },
    ]);
  });

  it.runIf(process.platform !== 'win32')(
    'is refused while others can read the key, or when it is no key',
    () => {
      signingKey(folder.path);
      const path = join(folder.path, 'pourwright.key.pem');
      chmodSync(path, 0o644);
      expect(() => signingKey(folder.path)).toThrow('Others can read the signing key.');
      chmodSync(path, 0o600);
      const kept = readFileSync(path, 'utf8');
      writeFileSync(path, 'not a key');
      expect(() => signingKey(folder.path)).toThrow('cannot be used');
      expect(kept).toContain('PRIVATE KEY');
    },
  );
});

describe('the code on a document', () => {
  it('is read back, and nothing else is taken for one', () => {
    const code = { batch: 'b: 1/é', hash: 'a'.repeat(64) };
    expect(readCode(` ${codeText(code)}\n`)).toEqual(code);
    expect(readCode('R10')).toBeNull();
    expect(readCode(`pourwright:record:%E0%A4%A:${'a'.repeat(64)}`)).toBeNull();
  });
});
