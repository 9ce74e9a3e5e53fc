import { signal } from '@preact/signals';
import type { Trouble } from '../../electron/host/table.ts';

/** A trouble on show, with what brought it: one of each source at a time. */
export interface ShownTrouble {
  readonly source: string;
  readonly trouble: Trouble;
}

/** What is wrong now and not yet put away, the oldest first. */
export const troubles = signal<readonly ShownTrouble[]>([]);

/** Shows a trouble; an earlier one of the same source gives way. */
export function tell(source: string, trouble: Trouble): void {
  troubles.value = [...troubles.value.filter((one) => one.source !== source), { source, trouble }];
}

/** Puts away what a source had told. */
export function putAway(source: string): void {
  if (troubles.value.some((one) => one.source === source))
    troubles.value = troubles.value.filter((one) => one.source !== source);
}
