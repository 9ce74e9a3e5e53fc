import { signal } from '@preact/signals';
import type { CallName, HostBridge, Input, Output, Reply } from '../../electron/host/table.ts';
import { putAway, tell } from './troubles.ts';

/** The way to the host: what was captured is on the host's disk whatever becomes of this. */
export const connection = signal<'opening' | 'open' | 'closed'>('opening');

/** The bench that this window is at; every question is asked of it. */
export const benchId = signal('1');

let bridge: HostBridge | null = null;

/** Takes the bridge that every later question goes over. */
export function useBridge(given: HostBridge): void {
  bridge = given;
}

/**
 * Asks the host and hands the reply on, troubles included; a bridge that fails answers as a trouble too.
 * @param of the bench that is asked: the one this window is at where none is named
 */
export async function askReply<K extends CallName>(
  name: K,
  input: Input<K>,
  of = benchId.value,
): Promise<Reply<K>> {
  if (bridge === null)
    return {
      ok: false,
      trouble: {
        what: 'The window has not reached its host yet.',
        where: null,
        next: 'Wait a moment and try again.',
      },
    };
  try {
    return await bridge.call(name, input, of);
  } catch (cause) {
    return {
      ok: false,
      trouble: {
        what: cause instanceof Error ? cause.message : String(cause),
        where: name,
        next: 'What was captured is stored. Try again; if it stays, start Pourwright again.',
      },
    };
  }
}

/** Asks the host; a trouble is shown and gives null. An answer puts an earlier trouble of the same question away. */
export async function ask<K extends CallName>(name: K, input: Input<K>): Promise<Output<K> | null> {
  const reply = await askReply(name, input);
  if (reply.ok) {
    putAway(name);
    return reply.value;
  }
  tell(name, reply.trouble);
  return null;
}
