import type { z } from 'zod';
import type { StoredEvent } from '../pour/events.ts';
import { type Decimal, decimal } from '../quantity/decimal.ts';
import { type Digest, verifyChain } from './chain.ts';
import { pouredOf } from './pours.ts';
import { buildRecord, RecordFile } from './record.ts';

/** One difference: the place in the file, such as "asMade.strength", and what is wrong there. */
export interface RecordProblem {
  readonly where: string;
  readonly what: string;
}

export interface RecordVerdict {
  readonly ok: boolean;
  readonly problems: readonly RecordProblem[];
}

const MOST_PROBLEMS = 20;

const place = (path: readonly PropertyKey[]): string =>
  path.reduce<string>(
    (text, key) =>
      typeof key === 'number' ? `${text}[${key}]` : text === '' ? String(key) : `${text}.${String(key)}`,
    '',
  );

function schemaProblems(issues: readonly z.core.$ZodIssue[]): RecordProblem[] {
  return issues.slice(0, MOST_PROBLEMS).map(({ path, message }) => ({ where: place(path), what: message }));
}

/** Each withdrawal, captured or revised, is the difference of its two gross readings. */
function withdrawalProblems(events: readonly StoredEvent[]): RecordProblem[] {
  let before: Decimal | null = null;
  return events.flatMap(({ event }, i) => {
    if (event.type !== 'withdrawn' && event.type !== 'withdrawal-revised') return [];
    const where = `events[${i}].event`;
    if (event.type === 'withdrawn') before = decimal(event.before);
    if (before === null) return [{ where, what: 'revises a withdrawal that was never made' }];
    const taken = before.minus(decimal(event.after));
    if (taken.eq(decimal(event.taken))) return [];
    const what = `says ${event.taken} g; before less after is ${taken.toFixed()} g`;
    return [{ where: `${where}.taken`, what }];
  });
}

/** Each captured or revised net is the difference of its two gross readings. */
function netProblems(events: readonly StoredEvent[]): RecordProblem[] {
  const before = new Map<number, Decimal>();
  const problems: RecordProblem[] = [];
  for (const [i, { event }] of events.entries()) {
    if (event.type !== 'captured' && event.type !== 'revised') continue;
    if (event.type === 'captured') before.set(event.pour, decimal(event.before));
    const from = before.get(event.pour);
    const where = `events[${i}].event`;
    if (from === undefined) {
      problems.push({ where, what: `revises pour ${event.pour}, which was never captured` });
      continue;
    }
    const net = decimal(event.after).minus(from);
    if (!net.eq(decimal(event.net)))
      problems.push({
        where: `${where}.net`,
        what: `says ${event.net} g; after less before is ${net.toFixed()} g`,
      });
  }
  return problems;
}

/**
 * The closure is the closing gross, less what taring moved it by, less the vessel, less the nets that count, but for
 * what was withdrawn of them.
 */
function closureProblems(events: readonly StoredEvent[]): RecordProblem[] {
  const at = events.findIndex(({ event }) => event.type === 'closed');
  const { gross, vessel, shift, closure, pours, withdrawals } = pouredOf(events);
  if (at < 0 || gross === null || vessel === null || closure === null) return [];
  const found = pours.reduce(
    (rest, pour) => (pour.voided ? rest : rest.minus(pour.net)),
    withdrawals.reduce((rest, one) => rest.plus(one.taken), gross.minus(shift).minus(vessel)),
  );
  return found.eq(closure)
    ? []
    : [
        {
          where: `events[${at}].event.closure`,
          what: `says ${closure.toFixed()} g; the readings give ${found.toFixed()} g`,
        },
      ];
}

const shown = (value: unknown): string => (value === undefined ? 'nothing' : JSON.stringify(value));

/** Places where `said` differs from `found`, in the order of the file. */
function differences(said: unknown, found: unknown, path: readonly PropertyKey[]): RecordProblem[] {
  if (said === found) return [];
  if (typeof said !== 'object' || typeof found !== 'object' || said === null || found === null)
    return [{ where: place(path), what: `says ${shown(said)}; the events give ${shown(found)}` }];
  const array = Array.isArray(said) && Array.isArray(found);
  const a = new Map<PropertyKey, unknown>(array ? said.entries() : Object.entries(said));
  const b = new Map<PropertyKey, unknown>(array ? found.entries() : Object.entries(found));
  return [...new Set([...a.keys(), ...b.keys()])].flatMap((key) =>
    differences(a.get(key), b.get(key), [...path, key]),
  );
}

/**
 * Checks a record file: its form, its chain of events against the head it names, its nets, and every figure computed
 * anew from the events. Problems come in the order found, the cause before what follows from it; at most 20.
 * @param file the parsed JSON
 */
export function verifyRecord(digest: Digest, file: unknown): RecordVerdict {
  const parsed = RecordFile.safeParse(file);
  if (!parsed.success) return { ok: false, problems: schemaProblems(parsed.error.issues) };
  const record = parsed.data;
  const chain = verifyChain(digest, record.events, record.head);
  const problems = chain.ok ? [] : [{ where: `events[${chain.n - 1}]`, what: chain.why }];
  problems.push(...netProblems(record.events), ...withdrawalProblems(record.events));
  try {
    problems.push(...closureProblems(record.events));
    const { events: _events, head: _head, units, ...rest } = buildRecord(record.events);
    const found = record.units === undefined || units === undefined ? rest : { ...rest, units };
    const { events: _said, head: _stated, signature: _signed, ...said } = record;
    problems.push(...differences(said, found, []));
  } catch (cause) {
    if (!(cause instanceof RangeError)) throw cause;
    problems.push({ where: 'events', what: cause.message });
  }
  return { ok: problems.length === 0, problems: problems.slice(0, MOST_PROBLEMS) };
}
