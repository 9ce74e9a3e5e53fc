import { signal } from '@preact/signals';

/** The cards of a correction tell what each line gets, instead of what it costs. */
export const detailed = signal(false);
