import type { Output } from '../../electron/host/table.ts';

export type FieldProblem = Output<'organ.put-lot'>['problems'][number];

/** What is wrong with one field, and what to do; null where nothing is. */
export function wrongAt(problems: readonly FieldProblem[], field: string): string | null {
  const found = problems.find((one) => one.field === field);
  return found === undefined ? null : `${found.what} ${found.next}`;
}
