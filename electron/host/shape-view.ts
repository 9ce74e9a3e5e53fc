import type { Shape } from '../../drivers/frames/shape.ts';
import type { Shape as ShapeView } from './table-balance.ts';

/** A sample as it stands on the wire: control bytes are written out in it. */
const onTheWire = (sample: string): string => sample.replace('<STX>', '\x02').replace('<SOH>', '\x01');

/** A line shape as a window shows it, and whether its lines carry the unit. */
export function shapeView({ name, title, sample, lines, parse }: Shape): ShapeView {
  const meaning = parse(onTheWire(sample));
  return {
    name,
    title,
    sample,
    lines: [...lines],
    unit: !(meaning?.kind === 'weight' && meaning.unit === 'none'),
  };
}
