import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { buildRecord, type RecordFile } from '../../../core/record/record.ts';
import type { Journal } from '../store/journal.ts';
import { HostTrouble } from '../trouble.ts';
import { recordCsv } from './record-csv.ts';

/** A name that every file system takes, from a batch's name and day. */
export function fileName(
  { batch: { name, started } }: { readonly batch: Pick<RecordFile['batch'], 'name' | 'started'> },
  ending: string,
): string {
  const plain = name
    .normalize('NFC')
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase()
    .slice(0, 60);
  return `${started.slice(0, 10)}-${plain || 'batch'}${ending}`;
}

/** A file of text. */
export interface TextFile {
  readonly name: string;
  readonly type: string;
  readonly text: string;
}

/**
 * The record of a batch as a file, computed from its stored events.
 * @throws HostTrouble when there is no such batch
 */
export function exportFile(journal: Journal, batch: string, format: 'json' | 'csv'): TextFile {
  const events = journal.events(batch);
  if (events.length === 0)
    throw new HostTrouble(`There is no batch "${batch}".`, 'Records', 'Choose one from the list.');
  const record = buildRecord(events);
  const name = fileName(record, `.${format}`);
  return format === 'json'
    ? { name, type: 'application/json', text: `${JSON.stringify(record, null, 2)}\n` }
    : { name, type: 'text/csv', text: recordCsv(record) };
}

/**
 * Writes a file whole or not at all: to a temporary name beside it, flushed to disk, then renamed.
 * @throws HostTrouble when the place cannot be written
 */
export function writeWhole(path: string, content: string | Uint8Array): void {
  const temporary = join(dirname(path), `.${basename(path)}.${process.pid}.part`);
  try {
    const file = openSync(temporary, 'w');
    try {
      writeFileSync(file, content);
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(temporary, path);
  } catch (cause) {
    if (existsSync(temporary)) rmSync(temporary);
    throw new HostTrouble(
      `The file could not be written: ${cause instanceof Error ? cause.message : String(cause)}.`,
      path,
      'Choose another place, or free some room.',
    );
  }
}
