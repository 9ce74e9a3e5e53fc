import { strFromU8, strToU8, unzipSync, zipSync } from 'fflate';
import { z } from 'zod';
import { Hash, Stamp, StoredEventSchema, Text } from '../../../core/record/event-schema.ts';
import {
  FORMULAS_FORMAT,
  FormulasFile,
  type FormulaVersionInFile,
  ORGAN_FORMAT,
  OrganFile,
} from '../../../core/record/workshop-file.ts';
import { bytesHash } from '../documents/manifest.ts';
import type { Store } from '../store/store.ts';
import { HostTrouble } from '../trouble.ts';

/** A whole workshop in one zip: what stands in it, and what its manifest says of every file. */
export const ARCHIVE_FORMAT = 'pourwright workshop 1';
const MANIFEST = 'manifest.json';
/** No more than this is unpacked from an archive, bytes. */
const UNPACKED_LIMIT = 2 ** 30;

const Manifest = z.strictObject({
  format: z.literal(ARCHIVE_FORMAT),
  made: Stamp,
  program: z.string(),
  files: z.array(z.strictObject({ name: z.string(), bytes: z.int().min(0), sha256: Hash })),
});

const StockFile = z.array(
  z.strictObject({ lot: z.string(), at: Stamp, kind: z.string(), g: Text, body: z.string() }),
);
const TrialsFile = z.strictObject({
  trials: z.array(z.strictObject({ batch: z.string(), body: z.string() })),
  notes: z.array(z.strictObject({ batch: z.string(), at: Stamp, body: z.string() })),
});
const BalancesFile = z.strictObject({
  profiles: z.array(z.strictObject({ id: z.string(), body: z.string() })),
  checks: z.array(
    z.strictObject({ profile: z.string(), at: z.string(), kind: z.string(), body: z.string() }),
  ),
});
const BatchFile = z.strictObject({
  batch: z.strictObject({
    id: z.string(),
    name: z.string(),
    started: Stamp,
    status: z.enum(['closed', 'abandoned']),
    total: Text.nullable(),
  }),
  version: z.strictObject({ formula: z.string(), n: z.int().min(1) }).nullable(),
  events: z.array(StoredEventSchema).min(1),
  traces: z.array(z.strictObject({ n: z.int().min(1), body: z.base64() })),
});

/** The content of an archive, its files whole and as they should be. */
export interface Archive {
  /** What it is called before a person. */
  readonly called: 'archive' | 'file';
  /** When it was handed out; null where it does not say. */
  readonly made: string | null;
  readonly organ: OrganFile;
  readonly stock: z.infer<typeof StockFile>;
  readonly formulas: FormulasFile['formulas'];
  readonly trials: z.infer<typeof TrialsFile>;
  readonly balances: z.infer<typeof BalancesFile>;
  readonly batches: readonly z.infer<typeof BatchFile>[];
}

const json = (value: unknown): Uint8Array => strToU8(`${JSON.stringify(value, null, 1)}\n`);

/** Materials and bottles; stock is what a bottle holds now. */
export function organFile({ workshop }: Store): OrganFile {
  const { materials, lots } = workshop.read();
  return { format: ORGAN_FORMAT, materials: [...materials], lots: [...lots] } as OrganFile;
}

/** Formulas with all their versions, the oldest first. */
export function formulasFile({ workshop, versions }: Store): FormulasFile {
  return {
    format: FORMULAS_FORMAT,
    formulas: workshop.read().formulas.map(({ id }) => ({
      id,
      versions: versions
        .list(id)
        .toReversed()
        .map(({ id: _, ...version }) => version as FormulaVersionInFile),
    })),
  };
}

/**
 * The whole workshop as one zip: materials, bottles and what was said of their stock, formulas with versions, batches
 * that have ended with their events and readings, trials, balances with their checks; and a manifest with the SHA-256
 * of each file.
 * @param made now, RFC 3339
 */
export function packArchive(store: Store, made: string, program: string): Uint8Array {
  const rows = store.archive;
  const ended = store.journal.batches().filter((one) => one.status !== 'open');
  const files: Record<string, Uint8Array> = {
    'organ.json': json(organFile(store)),
    'stock.json': json(rows.stock()),
    'formulas.json': json(formulasFile(store)),
    'trials.json': json({ trials: rows.trials(), notes: rows.notes() }),
    'balances.json': json({ profiles: rows.profiles(), checks: rows.checks() }),
  };
  for (const { id } of ended) {
    const { traces, ...batch } = rows.batch(id, store.journal.events(id));
    const kept = traces.map(({ n, body }) => ({ n, body: Buffer.from(body).toString('base64') }));
    files[`batches/${encodeURIComponent(id)}.json`] = json({ ...batch, traces: kept });
  }
  const manifest = {
    format: ARCHIVE_FORMAT,
    made,
    program,
    files: Object.entries(files).map(([name, bytes]) => ({
      name,
      bytes: bytes.length,
      sha256: bytesHash(bytes),
    })),
  };
  return zipSync({ ...files, [MANIFEST]: json(manifest) }, { level: 6 });
}

class Damaged extends HostTrouble {
  constructor(what: string, where: string) {
    super(what, where, 'Nothing was taken. Ask for the archive again, or hand it out anew.');
  }
}

/** Reads one file of the archive. */
function parsed<T>(files: Readonly<Record<string, Uint8Array>>, name: string, schema: z.ZodType<T>): T {
  const bytes = files[name];
  if (bytes === undefined) throw new Damaged(`The archive has no ${name}.`, name);
  let value: unknown;
  try {
    value = JSON.parse(strFromU8(bytes));
  } catch {
    throw new Damaged(`${name} in the archive is not JSON.`, name);
  }
  const read = schema.safeParse(value);
  if (read.success) return read.data;
  const issue = read.error.issues[0];
  throw new Damaged(
    `${name} in the archive is not as it should be: ${issue?.path.join('.') ?? ''} ${issue?.message ?? ''}`,
    name,
  );
}

function unzipped(bytes: Uint8Array, where: string): Record<string, Uint8Array> {
  let size = 0;
  try {
    return unzipSync(bytes, {
      filter: ({ originalSize }) => {
        size += originalSize;
        if (size > UNPACKED_LIMIT) throw new RangeError('it unpacks to more than a workshop holds');
        return true;
      },
    });
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause);
    throw new Damaged(`This is no archive that can be opened: ${why}.`, where);
  }
}

/**
 * Opens an archive and checks every file against the manifest, and what stands in it against its schema. Whether the
 * events of a batch are chained is told apart, batch by batch.
 * @throws HostTrouble when anything in it is damaged: nothing of it can be relied on then
 */
export function openArchive(bytes: Uint8Array, where: string): Archive {
  const files = unzipped(bytes, where);
  const manifest = parsed(files, MANIFEST, Manifest);
  for (const { name, bytes: size, sha256 } of manifest.files) {
    const file = files[name];
    if (file === undefined) throw new Damaged(`${name} is missing from the archive.`, where);
    if (file.length !== size || bytesHash(file) !== sha256)
      throw new Damaged(`${name} in the archive is not the file that was put there.`, where);
  }
  const listed = new Set(manifest.files.map((one) => one.name));
  const foreign = Object.keys(files).find((name) => name !== MANIFEST && !listed.has(name));
  if (foreign !== undefined) throw new Damaged(`${foreign} was put into the archive later.`, where);
  return {
    called: 'archive',
    made: manifest.made,
    organ: parsed(files, 'organ.json', OrganFile),
    stock: parsed(files, 'stock.json', StockFile),
    formulas: parsed(files, 'formulas.json', FormulasFile).formulas,
    trials: parsed(files, 'trials.json', TrialsFile),
    balances: parsed(files, 'balances.json', BalancesFile),
    batches: manifest.files
      .filter(({ name }) => name.startsWith('batches/'))
      .map(({ name }) => parsed(files, name, BatchFile)),
  };
}
