import { signal } from '@preact/signals';
import type { Input, Output } from '../../electron/host/table.ts';
import { ask } from './host.ts';

type Ask = Input<'records.document'>;
export type DocumentKind = Ask['kind'];
export type DocumentFile = Output<'records.document'>;
export type DecimalSign = NonNullable<Ask['decimal']>;

/** How numbers stand in CSV. */
export const decimalSign = signal<DecimalSign>('point');
/** The document that is being made. */
export const making = signal<DocumentKind | null>(null);
/** Where the last document of a batch went, in words. */
export const handedOver = signal<{ readonly batch: string; readonly text: string } | null>(null);

async function handed(asked: Ask, download: (file: DocumentFile) => void): Promise<string | null> {
  const able = await ask('app.capabilities', {});
  if (able === null) return null;
  if (able.saveDialog) {
    const saved = await ask('records.document-save', asked);
    if (saved === null) return null;
    return saved.path === null ? 'Not written.' : `Written to ${saved.path}`;
  }
  const file = await ask('records.document', asked);
  if (file === null) return null;
  download(file);
  return `Handed to the browser as ${file.name}`;
}

/**
 * Hands over a document of a record: by the desktop's own dialog where there is one, else through `download`, which
 * gives the file to the browser. One at a time.
 */
export async function handOver(
  batch: string,
  kind: DocumentKind,
  download: (file: DocumentFile) => void,
): Promise<void> {
  if (making.value !== null) return;
  making.value = kind;
  handedOver.value = null;
  try {
    const text = await handed({ batch, kind, decimal: decimalSign.value }, download);
    if (text !== null) handedOver.value = { batch, text };
  } finally {
    making.value = null;
  }
}
