import { LinkTrouble } from '../link/balance.ts';
import { commaHeaded } from './comma-headed.ts';
import type { Shape } from './shape.ts';
import { twoHeaded } from './two-headed.ts';

/** Every line shape, one row each. A new one is a file, a row here, and a capture in fixtures/captures. */
export const SHAPES: readonly Shape[] = [commaHeaded, twoHeaded];

/**
 * The shape of that name.
 * @throws LinkTrouble "unknown-shape" that lists the names there are
 */
export function shapeNamed(name: string): Shape {
  const shape = SHAPES.find((one) => one.name === name);
  if (shape !== undefined) return shape;
  const names = SHAPES.map((one) => one.name).join(', ');
  throw new LinkTrouble(
    'unknown-shape',
    `There is no line shape "${name}".`,
    name,
    `Choose one of: ${names}.`,
  );
}
