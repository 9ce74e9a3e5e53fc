import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { buildRecord } from '../../../core/record/record.ts';
import type { Journal } from '../store/journal.ts';
import type { ExportedFile } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { recordCsv } from './record-csv.ts';

/** A name that every file system takes, from the batch's name and day. */
function fileName(name: string, started: string, ending: string): string {
  const plain = name
    .normalize('NFC')
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase()
    .slice(0, 60);
  return `${started.slice(0, 10)}-${plain || 'batch'}.${ending}`;
}

/**
 * The record of a batch as a file, computed from its stored events.
 * @throws HostTrouble when there is no such batch
 */
export function exportFile(journal: Journal, batch: string, format: 'json' | 'csv'): ExportedFile {
  const events = journal.events(batch);
  if (events.length === 0)
    throw new HostTrouble(`There is no batch "${batch}".`, 'Records', 'Choose one from the list.');
  const record = buildRecord(events);
  const name = fileName(record.batch.name, record.batch.started, format);
  return format === 'json'
    ? { name, type: 'application/json', text: `${JSON.stringify(record, null, 2)}\n` }
    : { name, type: 'text/csv', text: recordCsv(record) };
}

/**
 * Writes a file whole or not at all: to a temporary name beside it, flushed to disk, then renamed.
 * @throws HostTrouble when the place cannot be written
 */
export function writeWhole(path: string, text: string): void {
  const temporary = join(dirname(path), `.${basename(path)}.${process.pid}.part`);
  try {
    const file = openSync(temporary, 'w');
    try {
      writeSync(file, text);
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(temporary, path);
  } catch (cause) {
    rmSync(temporary, { force: true });
    throw new HostTrouble(
      `The file could not be written: ${cause instanceof Error ? cause.message : String(cause)}.`,
      path,
      'Choose another place, or free some room.',
    );
  }
}
