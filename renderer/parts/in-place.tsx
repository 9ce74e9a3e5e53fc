import type { Trouble } from '../../electron/host/table.ts';

/** A trouble beside the field it belongs to: what, and what to do next. Told aloud when it comes. */
export function InPlace({ id, trouble }: { id: string; trouble: Trouble | null }) {
  return (
    <div id={id} class="told" role="status">
      {trouble !== null && (
        <p class="in-place">
          <strong>{trouble.what}</strong> {trouble.next}
        </p>
      )}
    </div>
  );
}
