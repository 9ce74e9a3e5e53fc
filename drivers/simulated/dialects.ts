import { LinkTrouble } from '../link/balance.ts';
import type { Dialect } from './dialect.ts';
import { BENCH_DIALECTS } from './dialects-bench.ts';
import { LAB_DIALECTS } from './dialects-lab.ts';

/** The shapes that the simulated balance speaks. */
export const DIALECTS: readonly Dialect[] = [...LAB_DIALECTS, ...BENCH_DIALECTS];

/** @throws LinkTrouble "unknown-shape" that lists the names there are */
export function dialectNamed(name: string): Dialect {
  const dialect = DIALECTS.find((one) => one.shape === name);
  if (dialect !== undefined) return dialect;
  throw new LinkTrouble(
    'unknown-shape',
    `The simulated balance does not speak the shape "${name}".`,
    name,
    `Choose one of: ${DIALECTS.map((one) => one.shape).join(', ')}.`,
  );
}
