import { DecimalSignPick } from '../parts/decimal-sign.tsx';
import { download } from '../parts/download.ts';
import { Press } from '../parts/press.tsx';
import { type DocumentKind, handedOver, handOver, making } from '../state/handing-over.ts';

const DOCUMENTS: readonly { readonly kind: DocumentKind; readonly name: string }[] = [
  { kind: 'record-pdf', name: 'As-made record, PDF' },
  { kind: 'sheet-pdf', name: 'Batch sheet, PDF' },
  { kind: 'csv', name: 'CSV' },
  { kind: 'readings-csv', name: 'Readings, CSV' },
  { kind: 'json', name: 'JSON' },
  { kind: 'folder', name: 'Batch folder, zip' },
];

/** What of a record can be handed over: each a button, and how numbers stand in CSV. */
export function HandingOver({ batch }: { batch: string }) {
  return (
    <section class="hand-over" aria-labelledby="hand-over">
      <h3 id="hand-over" class="caption">
        Hand over
      </h3>
      <div class="row">
        {DOCUMENTS.map(({ kind, name }) => (
          <Press
            key={kind}
            slim
            disabled={making.value !== null}
            onPress={() => void handOver(batch, kind, download)}
          >
            {name}
          </Press>
        ))}
      </div>
      <DecimalSignPick />
      <p role="status" class="soft">
        {making.value !== null && 'It is being made.'}
        {handedOver.value?.batch === batch && handedOver.value.text}
      </p>
    </section>
  );
}
