import { computed, signal } from '@preact/signals';
import type { Output } from '../../electron/host/table.ts';
import { ask } from './host.ts';

export type Found = Output<'records.find'>;
export type FoundRow = Found['rows'][number];

/** Rows of one page. */
const PAGE = 60;

/** What stands in the search field. */
export const searched = signal('');
/** What was found, page after page; null until the host has told. */
export const found = signal<Found | null>(null);
export const foundRows = computed(() => found.value?.rows ?? []);

interface Asked {
  readonly words?: string;
  readonly from?: string;
  readonly to?: string;
}

const DAY = /^\d{4}-\d\d-\d\d$/;
const MONTH = /^(\d{4})-(0[1-9]|1[0-2])$/;

/** First and last day that a day or a month stands for; null for any other word. */
function daysOf(word: string): { readonly from: string; readonly to: string } | null {
  const month = MONTH.exec(word);
  if (month !== null) {
    const last = new Date(Date.UTC(Number(month[1]), Number(month[2]), 0)).getUTCDate();
    return { from: `${word}-01`, to: `${word}-${last}` };
  }
  const known = DAY.test(word) && new Date(`${word}T00:00Z`).toJSON()?.slice(0, 10) === word;
  return known ? { from: word, to: word } : null;
}

/**
 * What the typed text asks for: days ("2026-01-31") and months ("2026-01") bound the start, from the earliest to the
 * latest of them; every other word is searched for in name, lots, materials, operator and deviations.
 */
export function askedBy(text: string): Asked {
  const words = text.trim().split(/\s+/);
  const days = words.flatMap((word) => daysOf(word) ?? []);
  const rest = words.filter((word) => daysOf(word) === null).join(' ');
  const from = days.map((one) => one.from).sort()[0];
  const to = days
    .map((one) => one.to)
    .sort()
    .at(-1);
  return {
    ...(rest === '' ? {} : { words: rest.slice(0, 200) }),
    ...(from === undefined || to === undefined ? {} : { from, to }),
  };
}

/** Searches of later text make the answers of earlier ones void. */
let turn = 0;

/** Finds the first page of what is typed. */
export async function find(): Promise<void> {
  turn += 1;
  const mine = turn;
  const told = await ask('records.find', { ...askedBy(searched.value), limit: PAGE });
  if (told !== null && mine === turn) found.value = told;
}

/** Adds the next page. */
export async function findMore(): Promise<void> {
  const known = found.value;
  const last = known?.rows.at(-1);
  if (known === null || last === undefined || !known.more) return;
  const mine = turn;
  const told = await ask('records.find', { ...askedBy(searched.value), after: last.no, limit: PAGE });
  if (told !== null && mine === turn) found.value = { ...told, rows: [...known.rows, ...told.rows] };
}

/** The batch that a scanned code of a document names, else the first that was found; null where there is none. */
export async function firstOf(text: string): Promise<string | null> {
  if (text.startsWith('pourwright:')) {
    const told = await ask('codes.read', { text });
    return told?.kind === 'record' ? told.batch : null;
  }
  await find();
  return foundRows.value[0]?.batch ?? null;
}
