import { computed, type ReadonlySignal } from '@preact/signals';

/**
 * A computed that keeps its old value while the new one says the same. Views come whole with every reading;
 * what hangs on a steady part of them is not drawn again twenty times a second.
 */
export function steady<T>(read: () => T): ReadonlySignal<T> {
  let kept: { readonly value: T; readonly text: string | undefined } | null = null;
  return computed(() => {
    const value = read();
    const text = JSON.stringify(value);
    if (kept === null || kept.text !== text) kept = { value, text };
    return kept.value;
  });
}
