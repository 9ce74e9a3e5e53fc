import type { PourEvent, StoredEvent } from '../pour/events.ts';
import { canonicalJson } from './canonical.ts';

/** What the first event of a batch is chained to. */
export const FIRST_PREV = '0'.repeat(64);

/** SHA-256 of a text's UTF-8 bytes, 64 lower-case hexadecimal digits. Given by the caller: core does no I/O. */
export type Digest = (text: string) => string;

/** How many events a batch has, and the hash of the last; `count` 0 goes with FIRST_PREV. */
export interface Head {
  readonly count: number;
  readonly hash: string;
}

/** The hash of an event: the digest of its canonical JSON together with the hash before it. */
export function chainHash(
  digest: Digest,
  prev: string,
  entry: { readonly batch: string; readonly n: number; readonly at: string; readonly event: PourEvent },
): string {
  const { batch, n, at, event } = entry;
  return digest(canonicalJson({ at, batch, event, n, prev }));
}

/** Head of a chain of events. */
export function headOf(events: readonly StoredEvent[]): Head {
  return { count: events.length, hash: events.at(-1)?.hash ?? FIRST_PREV };
}

export type ChainVerdict =
  | { readonly ok: true }
  | { readonly ok: false; readonly n: number; readonly why: string };

/**
 * Recomputes the chain and names the first event that is not as it was written: edited, put in, taken out, moved or
 * cut off at the end (against `head`). A chain rewritten as a whole, head and all, is consistent in itself: only a
 * head kept elsewhere tells it.
 */
export function verifyChain(digest: Digest, events: readonly StoredEvent[], head?: Head): ChainVerdict {
  let prev = FIRST_PREV;
  const batch = events[0]?.batch;
  for (const [i, entry] of events.entries()) {
    const n = i + 1;
    const bad = (why: string, at = n): ChainVerdict => ({ ok: false, n: at, why });
    if (entry.batch !== batch) return bad(`event ${n} belongs to another batch, "${entry.batch}"`);
    const intact = chainHash(digest, entry.prev, entry) === entry.hash;
    if (entry.n !== n) return bad(`event ${entry.n} stands where event ${n} should be`);
    if (!intact) return bad(`event ${n} was altered: its hash does not fit what it says`);
    if (entry.prev !== prev)
      return n === 1
        ? bad('event 1 does not begin a chain: events before it are gone')
        : bad(`event ${n - 1} was replaced: event ${n} was chained to another`, n - 1);
    prev = entry.hash;
  }
  return head === undefined ? { ok: true } : againstHead(events, prev, head);
}

function againstHead(events: readonly StoredEvent[], last: string, head: Head): ChainVerdict {
  if (events.length < head.count) {
    const n = events.length + 1;
    const which =
      n === head.count
        ? `event ${n} is missing at the end`
        : `events ${n} to ${head.count} are missing at the end`;
    return { ok: false, n, why: which };
  }
  if (events.length > head.count) {
    const n = head.count + 1;
    return { ok: false, n, why: `event ${n} was added after the end: the record counts ${head.count}` };
  }
  if (last !== head.hash)
    return {
      ok: false,
      n: head.count,
      why: `event ${head.count} was replaced: the record ends in another hash`,
    };
  return { ok: true };
}
