import { unzipSync } from 'fflate';
import { RECORD_FORMAT, RecordFile } from '../../../core/record/record.ts';
import { type RecordProblem, verifyRecord } from '../../../core/record/verify.ts';
import { sha256 } from '../store/journal.ts';
import { RECORD_NAME, TABLE_NAME } from './batch-folder.ts';
import { bytesHash, MANIFEST_NAME, Manifest } from './manifest.ts';
import { recordCsv } from './record-csv.ts';
import { signatureHolds } from './signature.ts';

/** What checking an exported file found. */
export interface FileVerdict {
  readonly ok: boolean;
  readonly problems: readonly RecordProblem[];
  /** The record, where its form could be read. */
  readonly record: RecordFile | null;
  /** Null when the record has no signature. */
  readonly signed: boolean | null;
}

export const isRecord = (value: unknown): value is { readonly format: string } =>
  typeof value === 'object' && value !== null && 'format' in value && value.format === RECORD_FORMAT;

/** Recomputes a parsed record file: form, chain, figures, and signature where there is one. */
export function checkRecord(content: unknown): FileVerdict {
  const { problems: found } = verifyRecord(sha256, content);
  const parsed = RecordFile.safeParse(content);
  const record = parsed.success ? parsed.data : null;
  const signed = record === null ? null : signatureHolds(record);
  const what = 'the signature is not of this record by the key that it names';
  const problems = signed === false ? [...found, { where: 'signature', what }] : found;
  return { ok: problems.length === 0, problems, record, signed };
}

const text = (bytes: Uint8Array): string => new TextDecoder().decode(bytes);

function parsed(bytes: Uint8Array | undefined, name: string, problems: RecordProblem[]): unknown {
  if (bytes === undefined) {
    problems.push({ where: name, what: 'is missing' });
    return null;
  }
  try {
    return JSON.parse(text(bytes));
  } catch (cause) {
    problems.push({
      where: name,
      what: `is not JSON: ${cause instanceof Error ? cause.message : String(cause)}`,
    });
    return null;
  }
}

/** Files against the manifest: each there, none beside it, every byte as it was. */
function againstManifest(
  files: Readonly<Record<string, Uint8Array>>,
  { files: said }: Manifest,
): RecordProblem[] {
  const problems: RecordProblem[] = [];
  for (const { name, bytes, sha256: hash } of said) {
    const file = files[name];
    if (file === undefined) problems.push({ where: name, what: 'is missing; the manifest names it' });
    else if (bytesHash(file) !== hash)
      problems.push({
        where: name,
        what: `was altered: its hash is not that of the manifest${file.length === bytes ? '' : `, and it has ${file.length} bytes instead of ${bytes}`}`,
      });
  }
  const known = new Set([MANIFEST_NAME, ...said.map((one) => one.name)]);
  for (const name of Object.keys(files))
    if (!known.has(name)) problems.push({ where: name, what: 'was put in; the manifest does not name it' });
  return problems;
}

/** The table against the record it was written from: the first line that differs. */
function againstRecord(table: Uint8Array, record: RecordFile, { decimal }: Manifest): RecordProblem[] {
  const { signature: _, ...unsigned } = record;
  const wanted = recordCsv(unsigned, decimal).split('\r\n');
  const said = text(table).split('\r\n');
  for (let i = 0; i < Math.max(wanted.length, said.length); i += 1)
    if (wanted[i] !== said[i])
      return [
        {
          where: `${TABLE_NAME}, line ${i + 1}`,
          what: `says ${JSON.stringify(said[i] ?? null)}; the record gives ${JSON.stringify(wanted[i] ?? null)}`,
        },
      ];
  return [];
}

const MOST_BYTES = 500_000_000;

/** Checks a batch folder: the manifest, every file against it, the record itself, and the table against the record. */
export function checkFolder(archive: Uint8Array): FileVerdict {
  const none = (where: string, what: string): FileVerdict => ({
    ok: false,
    problems: [{ where, what }],
    record: null,
    signed: null,
  });
  let files: Readonly<Record<string, Uint8Array>>;
  let size = 0;
  try {
    files = unzipSync(archive, {
      filter: ({ originalSize }) => {
        size += originalSize;
        if (size > MOST_BYTES) throw new RangeError(`it unpacks to more than ${MOST_BYTES / 1e6} MB`);
        return true;
      },
    });
  } catch (cause) {
    return none('archive', `cannot be unpacked: ${cause instanceof Error ? cause.message : String(cause)}`);
  }
  const problems: RecordProblem[] = [];
  const manifest = Manifest.safeParse(parsed(files[MANIFEST_NAME], MANIFEST_NAME, problems));
  if (!manifest.success && problems.length === 0)
    problems.push({
      where: MANIFEST_NAME,
      what: `is not as it should be: ${manifest.error.issues[0]?.message}`,
    });
  if (manifest.success) problems.push(...againstManifest(files, manifest.data));
  const content = parsed(files[RECORD_NAME], RECORD_NAME, problems);
  if (content === null) return { ok: false, problems, record: null, signed: null };
  const verdict = checkRecord(content);
  problems.push(...verdict.problems.map(({ where, what }) => ({ where: `${RECORD_NAME}: ${where}`, what })));
  const { record } = verdict;
  if (record !== null && manifest.success) {
    const { head, batch } = manifest.data;
    if (head !== record.head.hash || batch !== record.batch.id)
      problems.push({ where: MANIFEST_NAME, what: 'names another record than the one in the folder' });
    const table = files[TABLE_NAME];
    if (table !== undefined) problems.push(...againstRecord(table, record, manifest.data));
  }
  return { ...verdict, ok: problems.length === 0, problems };
}
