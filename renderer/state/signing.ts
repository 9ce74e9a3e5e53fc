import { signal } from '@preact/signals';
import type { Output, Trouble } from '../../electron/host/table.ts';
import { askReply } from './host.ts';

/** Whether documents are signed on this machine, and by which key; null until it is known. */
export const signing = signal<Output<'signing.state'> | null>(null);
/** Why the key cannot be had. */
export const signingTrouble = signal<Trouble | null>(null);

async function told(asked: Promise<Awaited<ReturnType<typeof askReply<'signing.state'>>>>): Promise<void> {
  const reply = await asked;
  signingTrouble.value = reply.ok ? null : reply.trouble;
  if (reply.ok) signing.value = reply.value;
}

export const fetchSigning = (): Promise<void> => told(askReply('signing.state', {}));

/** Signs the documents that are made from now on, or no longer; the key is made where there is none. */
export const sign = (on: boolean): Promise<void> => told(askReply('signing.set', { on }));
