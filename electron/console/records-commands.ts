import { type Command, InvalidArgumentError, Option } from 'commander';
import type { DocumentKind } from '../host/documents/document.ts';
import type { Run } from './run.ts';
import type { Talk } from './talk.ts';

const DATABASE = ['--database <dir>', 'folder of the database'] as const;

function count(text: string): number {
  if (/^[1-9]\d{0,2}$/.test(text) && Number(text) <= 500) return Number(text);
  throw new InvalidArgumentError('A limit is a whole number from 1 to 500.');
}

function percent(text: string): number {
  if (/^\d+(\.\d+)?$/.test(text)) return Number(text);
  throw new InvalidArgumentError('A deviation is a number of per cent, 0 or above.');
}

export interface FindFlags {
  readonly database: string;
  readonly name?: string;
  readonly lot?: string;
  readonly material?: string;
  readonly operator?: string;
  readonly deviation?: string;
  readonly from?: string;
  readonly to?: string;
  readonly worst?: number;
  readonly limit: number;
}

export interface AmendFlags {
  readonly database: string;
  readonly batch: string;
  readonly who: string;
  readonly why: string;
  readonly text: string;
}

export interface DocumentFlags {
  readonly database: string;
  readonly batch: string;
  readonly kind: DocumentKind;
  readonly decimal: 'point' | 'comma';
  readonly sign?: boolean;
  readonly out: string;
}

/** Adds the commands that read and keep what is in a database. */
export function addRecords(program: Command, talk: Talk, run: Run): void {
  program
    .command('find')
    .description('list batches, the latest first, one JSON object a line')
    .argument('[words...]', 'beginnings of words, in any field')
    .requiredOption(...DATABASE)
    .option('--name <words>', 'in the name')
    .option('--lot <words>', 'in codes and names of lots')
    .option('--material <words>', 'in names of materials')
    .option('--operator <words>', 'in the name of who poured')
    .option('--deviation <words>', 'over, kept, corrected, voided, amended, …')
    .option('--from <day>', 'first day of the start, "2026-01-31"')
    .option('--to <day>', 'last day of the start')
    .option('--worst <percent>', 'a line off its target by at least so much', percent)
    .option('--limit <n>', 'at most so many', count, 100)
    .action((words: string[], flags: FindFlags) =>
      run(async () => (await import('./records.ts')).find(words.join(' '), flags, talk)),
    );
  program
    .command('recall')
    .description('every batch that holds a lot, through dilutions, with its share')
    .argument('<lot>', 'code of the lot')
    .requiredOption(...DATABASE)
    .action((lot: string, { database }: { database: string }) =>
      run(async () => (await import('./records.ts')).recall(lot, database, talk)),
    );
  program
    .command('amend')
    .description('add a note or a correction to the record of an ended batch')
    .requiredOption(...DATABASE)
    .requiredOption('--batch <id>', 'the batch')
    .requiredOption('--who <name>', 'who amends')
    .requiredOption('--why <reason>', 'why')
    .requiredOption('--text <text>', 'what is added')
    .action((flags: AmendFlags) => run(async () => (await import('./records.ts')).amend(flags, talk)));
  program
    .command('document')
    .description('write a document of a batch')
    .requiredOption(...DATABASE)
    .requiredOption('--batch <id>', 'the batch')
    .addOption(
      new Option('--kind <kind>', 'which document')
        .choices(['record-pdf', 'sheet-pdf', 'json', 'csv', 'readings-csv', 'folder'])
        .default('record-pdf'),
    )
    .addOption(
      new Option('--decimal <sign>', 'decimal sign in CSV').choices(['point', 'comma']).default('point'),
    )
    .option('--sign', 'sign the record with the key of this machine, made when there is none')
    .requiredOption('--out <file>', 'file to write')
    .action((flags: DocumentFlags) => run(async () => (await import('./records.ts')).document(flags, talk)));
  program
    .command('backup')
    .description('write a checked copy of a database')
    .requiredOption(...DATABASE)
    .requiredOption('--to <file>', 'file to write')
    .action(({ database, to }: { database: string; to: string }) =>
      run(async () => (await import('./records.ts')).backup(database, to, talk)),
    );
  program
    .command('restore')
    .description('put a checked backup in the place of a database, which is set aside')
    .requiredOption(...DATABASE)
    .requiredOption('--from <file>', 'the backup')
    .action(({ database, from }: { database: string; from: string }) =>
      run(async () => (await import('./records.ts')).restore(database, from, talk)),
    );
}
