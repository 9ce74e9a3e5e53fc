import type { Shape } from '../../drivers/frames/shape.ts';
import { askable, askings } from '../../drivers/link/questions.ts';
import type { Shape as ShapeView } from './table-balance.ts';

/** A sample as it stands on the wire: control bytes are written out in it. */
const onTheWire = (sample: string): string => sample.replace('<STX>', '\x02').replace('<SOH>', '\x01');

/** A line shape as a window shows it, and whether its lines carry the unit. */
export function shapeView(shape: Shape): ShapeView {
  const { name, title, sample, lines, parse } = shape;
  const meaning = parse(onTheWire(sample));
  return {
    name,
    title,
    sample,
    lines: [...lines],
    asked: askings(name).length > 0,
    ask: askable(shape)[0] ?? null,
    unit: !(meaning?.kind === 'weight' && meaning.unit === 'none'),
  };
}
