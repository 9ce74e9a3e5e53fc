import type { Trouble } from '../host/table.ts';

/** Why a command ends before its own end: it was asked to, or nobody reads its output any more. */
export type Ending = 'signal' | 'output closed';

/** How a command speaks: JSON lines on standard output, words for people on standard error. */
export interface Talk {
  /** Writes one object as one line of JSON. */
  emit(value: object): void;
  /** Writes words for a person. */
  say(text: string): void;
  /** Aborts with an `Ending` as its reason; the command then closes what it holds. */
  readonly ended: AbortSignal;
}

/** The three lines of an error: what went wrong, where, and what to do next. */
export function troubleLines(trouble: Trouble): string {
  const where = trouble.where === null ? [] : [`where: ${trouble.where}`];
  return [`what: ${trouble.what}`, ...where, `next: ${trouble.next}`].join('\n');
}

/**
 * The talk of this process. Ends at SIGINT, SIGTERM, and when a reader of the output goes away; a second SIGINT or
 * SIGTERM finds no handler and ends the process at once.
 */
export function processTalk(): Talk {
  const ending = new AbortController();
  const end = (reason: Ending) => ending.abort(reason);
  process.once('SIGINT', () => end('signal'));
  process.once('SIGTERM', () => end('signal'));
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
    end('output closed');
  });
  return {
    emit: (value) => {
      if (!ending.signal.aborted) process.stdout.write(`${JSON.stringify(value)}\n`);
    },
    say: (text) => {
      if (ending.signal.reason !== 'output closed') process.stderr.write(`${text}\n`);
    },
    ended: ending.signal,
  };
}

/** Resolves when the talk ends. */
export function untilEnded(talk: Talk): Promise<Ending> {
  return new Promise((resolve) => {
    if (talk.ended.aborted) resolve(talk.ended.reason as Ending);
    else talk.ended.addEventListener('abort', () => resolve(talk.ended.reason as Ending), { once: true });
  });
}
