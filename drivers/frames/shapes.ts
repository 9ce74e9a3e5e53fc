import { LinkTrouble } from '../link/balance.ts';
import { commaHeaded } from './comma-headed.ts';
import { flagBehind } from './flag-behind.ts';
import { framedBits } from './framed-bits.ts';
import { framedCodes } from './framed-codes.ts';
import { framedDigits } from './framed-digits.ts';
import { lettersBehind } from './letters-behind.ts';
import { markerFirst } from './marker-first.ts';
import { plain } from './plain.ts';
import { questionBehind } from './question-behind.ts';
import type { Shape } from './shape.ts';
import { signFirst } from './sign-first.ts';
import { statusBelow } from './status-below.ts';
import { statusFirst } from './status-first.ts';
import { statusLetter } from './status-letter.ts';
import { tenDigits } from './ten-digits.ts';
import { twoHeaded } from './two-headed.ts';
import { unpadded } from './unpadded.ts';

/** Every line shape, one row each. A new one is a file, a row here, and a capture in fixtures/captures. */
export const SHAPES: readonly Shape[] = [
  commaHeaded,
  twoHeaded,
  statusLetter,
  markerFirst,
  signFirst,
  questionBehind,
  lettersBehind,
  tenDigits,
  unpadded,
  framedDigits,
  statusBelow,
  statusFirst,
  framedBits,
  framedCodes,
  flagBehind,
  plain,
];

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
