import { signal } from '@preact/signals';
import type { Input } from '../../electron/host/table.ts';
import { type GivenFile, giveOut } from './giving-out.ts';
import { ask } from './host.ts';

type Ask = Input<'records.document'>;
export type DocumentKind = Ask['kind'];
export type DecimalSign = NonNullable<Ask['decimal']>;

/** How numbers stand in CSV. */
export const decimalSign = signal<DecimalSign>('point');
/** The document that is being made. */
export const making = signal<DocumentKind | null>(null);
/** Where the last document of a batch went, in words. */
export const handedOver = signal<{ readonly batch: string; readonly text: string } | null>(null);

/**
 * Hands over a document of a record: by the desktop's own dialog where there is one, else through `download`, which
 * gives the file to the browser. One at a time.
 */
export async function handOver(
  batch: string,
  kind: DocumentKind,
  download: (file: GivenFile) => void,
): Promise<void> {
  if (making.value !== null) return;
  making.value = kind;
  handedOver.value = null;
  try {
    const asked: Ask = { batch, kind, decimal: decimalSign.value };
    const text = await giveOut(
      { file: () => ask('records.document', asked), save: () => ask('records.document-save', asked) },
      download,
    );
    if (text !== null) handedOver.value = { batch, text };
  } finally {
    making.value = null;
  }
}
