import { computed, signal } from '@preact/signals';
import type { Trouble } from '../../electron/host/table.ts';
import { bench, next, phase } from './bench.ts';
import { askReply } from './host.ts';

/** A code that was not taken: what it said, the lot that was wanted at that moment, and why. */
export interface Refusal {
  readonly code: string;
  readonly wanted: string | null;
  readonly trouble: Trouble;
}

const refused = signal<Refusal | null>(null);

/** What was not taken and not yet put away; one of a bottle that is no longer asked for has gone by itself. */
export const refusal = computed(() => {
  const told = refused.value;
  const asked = phase.value === 'bottle' ? (next.value?.lot ?? null) : null;
  return told !== null && told.wanted === asked ? told : null;
});

export function putRefusalAway(): void {
  refused.value = null;
}

const wantedNow = (): string | null => (phase.value === 'bottle' ? (next.value?.lot ?? null) : null);

function refuse(code: string, what: string, then: string): Trouble {
  const trouble = { what, where: null, next: then };
  refused.value = { code, wanted: wantedNow(), trouble };
  return trouble;
}

/** The lot that a code names: a scanner under caps lock sends the same code in other letters. */
export const lotOf = (code: string, wanted: string): string =>
  code.toLowerCase() === wanted.toLowerCase() ? wanted : code;

/** A code was scanned or typed: the bottle in hand is confirmed by it. @returns why not; null when it is the right one */
export async function confirmByCode(text: string): Promise<Trouble | null> {
  const code = text.trim();
  const wanted = wantedNow();
  if (code.toLowerCase().startsWith('pourwright:'))
    return refuse(
      'a record',
      'This code is of a record, on no bottle.',
      "Scan the code on the bottle's label; a record is opened on any other screen.",
    );
  if (wanted === null)
    return refuse(
      code,
      `Lot ${code} was scanned, and no bottle is asked for now.`,
      'Scan at the next bottle.',
    );
  const reply = await askReply('pour.do', { do: 'confirm-bottle', lot: lotOf(code, wanted) });
  if (!reply.ok) {
    refused.value = { code, wanted, trouble: reply.trouble };
    return reply.trouble;
  }
  refused.value = null;
  bench.value = reply.value;
  return null;
}

/** A scan broke off: nothing is taken from it. */
export function tornCode(code: string): void {
  refuse(code, `The code was cut short: ${code}`, 'Scan it again, or type it.');
}
