import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { SHAPES } from '../../../drivers/frames/shapes.ts';

const readme = readFileSync(resolve(import.meta.dirname, '../../../README.md'), 'utf8');

describe('the table of shapes in README', () => {
  it.each(SHAPES.map((shape) => [shape.name, shape] as const))('shows %s as it is', (_, shape) => {
    const sample = shape.sample.replaceAll(' ', '·').replace('\x02', '<STX>').replace('\x01', '<SOH>');
    expect(readme).toContain(
      `| ${shape.name} | ${shape.title} | \`${sample}\` | ${shape.lines.join(', ')} |`,
    );
  });
});
