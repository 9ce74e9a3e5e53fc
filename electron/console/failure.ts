import type { Trouble } from '../host/table.ts';

/** Exit codes: what was asked failed; used wrongly, or with input that cannot be used. Zero is done. */
export const FAILED = 1;
export const WRONG = 2;

/** What is said of an error, and the exit code that goes with it. */
export interface Failure {
  readonly troubles: readonly Trouble[];
  readonly code: typeof FAILED | typeof WRONG;
}
