import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { decimal, plain } from '../../core/quantity/decimal.ts';
import { amended } from '../../core/record/amend.ts';
import { compare } from '../../core/record/compare.ts';
import type { RecordFile } from '../../core/record/record.ts';
import { batchTraces } from './batch-traces.ts';
import { type Document, documentOf } from './documents/document.ts';
import { writeWhole } from './documents/export.ts';
import { hasSigningKey, signingKey } from './documents/signature.ts';
import { labelsOfBatch } from './labels/paper.ts';
import type { Practising } from './practice/practising.ts';
import { recallOf } from './recall.ts';
import { recordOf } from './record-view.ts';
import { statusOf } from './records.ts';
import type { Capabilities, Rooms } from './rooms.ts';
import type { BatchQuery, FoundBatch } from './store/catalog.ts';
import { fileStamp } from './store/files.ts';
import { forgetRestore, prepareRestore, waitingCounts } from './store/restore.ts';
import type { Store } from './store/store.ts';
import { StoreTrouble } from './store/trouble.ts';
import type { Input, Output } from './table.ts';
import { HostTrouble } from './trouble.ts';
import { percent } from './view/figures.ts';

const SIGNING = 'sign records';
const isOn = (store: Store): boolean => store.workshop.setting(SIGNING) === 'yes';

type Found = Output<'records.find'>['rows'][number];

function foundRow(row: FoundBatch): Found {
  return {
    no: row.no,
    batch: row.id,
    name: row.name,
    started: row.started,
    status: statusOf(row),
    total: row.total,
    operator: row.operator,
    strength: row.strength === null ? null : percent(decimal(row.strength)),
    worst: row.worst === null ? null : `${row.worst.toFixed(2)} %`,
    marks: row.marks,
    trouble: row.trouble,
  };
}

function queryOf(ask: Input<'records.find'>): BatchQuery {
  const { name, lot, material, operator, deviation, status, limit = 100, ...rest } = ask;
  return {
    ...rest,
    in: { name, lot, material, operator, deviation },
    status: status === 'interrupted' ? 'open' : status,
    limit,
  };
}

/** The record of a batch, signed where records are. */
function signedRecord(store: Store, batch: string): RecordFile {
  const record = recordOf(store.journal, batch);
  return isOn(store) ? signingKey(store.folder).sign(record) : record;
}

function findingHandlers(store: Store) {
  const { catalog, journal } = store;
  return {
    'records.find': (ask: Input<'records.find'>) => {
      const { rows, more } = catalog.find(queryOf(ask));
      return { rows: rows.map(foundRow), more, all: catalog.count() };
    },
    'records.amend': ({ batch, ...amendment }: Input<'records.amend'>) => {
      const { events } = recordOf(journal, batch);
      const [stored] = journal.append(batch, new Date().toISOString(), [amended(events, amendment)]);
      return { n: stored?.n ?? events.length };
    },
    'records.recall': ({ lot }: Input<'records.recall'>) => {
      const { rows, unread } = recallOf(store, lot);
      return {
        rows: rows.map(({ through, ...row }) => ({
          ...row,
          through: [...through],
          percent: `${plain(decimal(row.share).times(100).toSignificantDigits(3))} %`,
        })),
        unread: unread.map(({ id, name }) => ({ batch: id, name })),
      };
    },
    'records.compare': ({ a, b }: Input<'records.compare'>) => {
      const found = compare(recordOf(journal, a), recordOf(journal, b));
      return { ...found, composition: [...found.composition], lines: [...found.lines] };
    },
    'records.strengths': ({ formula }: Input<'records.strengths'>) => catalog.strengths(formula),
    'records.traces': ({ batch }: Input<'records.traces'>) => batchTraces(journal, batch),
  };
}

function paperHandlers(store: Store, capabilities: Capabilities) {
  const document = ({
    batch,
    kind,
    decimal: sign = 'point',
  }: Input<'records.document'>): Promise<Document> => {
    const record = signedRecord(store, batch);
    const when = new Date(record.events.at(-1)?.at ?? record.batch.started);
    return documentOf(record, store.journal, kind, sign, () => labelsOfBatch(store, batch, when));
  };
  const signing = (): Output<'signing.state'> => ({
    made: hasSigningKey(store.folder),
    on: isOn(store),
    publicKey: isOn(store) ? signingKey(store.folder).publicKey : null,
  });
  return {
    'records.document': async (ask: Input<'records.document'>) => {
      const { name, type, bytes, unshown = [] } = await document(ask);
      return { name, type, base64: Buffer.from(bytes).toString('base64'), unshown: [...unshown] };
    },
    'records.document-save': async (ask: Input<'records.document-save'>) => {
      if (capabilities.saveDialog === null)
        throw new HostTrouble('This window has no file dialog.', 'Records', 'Let the browser save the file.');
      const { name, bytes, unshown = [] } = await document(ask);
      const path = await capabilities.saveDialog(name);
      if (path !== null) writeWhole(path, bytes);
      return { path, unshown: [...unshown] };
    },
    'signing.state': signing,
    'signing.set': ({ on }: Input<'signing.set'>) => {
      if (on) signingKey(store.folder);
      store.workshop.set(SIGNING, on ? 'yes' : 'no');
      return signing();
    },
  };
}

/** A place beside the database, for a window without a dialog. */
function beside(folder: string): string {
  const backups = join(folder, 'backups');
  try {
    mkdirSync(backups, { recursive: true });
    return join(backups, `pourwright-${fileStamp(backups)}.sqlite`);
  } catch (cause) {
    throw new HostTrouble(
      `The folder for backups cannot be made: ${cause instanceof Error ? cause.message : String(cause)}.`,
      backups,
      'Name another place.',
    );
  }
}

/** Practice beside a backup that is already written: whatever is wrong with it, that one is there. */
function besideIt(practising: Practising, path: string) {
  try {
    return practising.backupBeside(path);
  } catch (cause) {
    if (!(cause instanceof StoreTrouble)) throw cause;
    throw new HostTrouble(
      `The workshop is written and checked, ${path}, but Practice is not: ${cause.message}`,
      cause.where,
      cause.next,
    );
  }
}

function keepingHandlers(store: Store, practising: Practising, { saveDialog }: Capabilities) {
  return {
    'store.backup': async ({ path }: Input<'store.backup'>) => {
      const suggested = `pourwright-${new Date().toISOString().slice(0, 10)}.sqlite`;
      const place = path ?? (saveDialog === null ? beside(store.folder) : await saveDialog(suggested));
      if (place === null) return { path: null, counts: null, practice: null };
      const counts = store.backup(place);
      return { path: place, counts, practice: besideIt(practising, place) };
    },
    'store.restore': ({ path }: Input<'store.restore'>) => prepareRestore(store.folder, path),
    'store.restore-waits': () => ({ counts: waitingCounts(store.folder) }),
    'store.restore-forget': () => {
      forgetRestore(store.folder);
      return {};
    },
  };
}

/** Answers to the calls of table-documents.ts. */
export const documentHandlers = ({ store, practising, capabilities }: Rooms) => ({
  ...findingHandlers(store),
  ...paperHandlers(store, capabilities),
  ...keepingHandlers(store, practising, capabilities),
});
