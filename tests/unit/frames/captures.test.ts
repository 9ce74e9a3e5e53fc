import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { SHAPES } from '../../../drivers/frames/shapes.ts';
import { capture, inWords } from './captures.ts';

describe.each(SHAPES.map((shape) => [shape.name, shape] as const))('capture of %s', (name, shape) => {
  it.each(capture(name).map(({ line, meaning }) => [line, meaning] as const))('%j is %s', (line, meaning) => {
    expect(inWords(shape.parse(line))).toBe(meaning);
  });

  it('reads its own sample as a weight at rest or unsaid', () => {
    const line = shape.sample.replace('<STX>', '\x02').replace('<SOH>', '\x01');
    expect(inWords(shape.parse(line))).toMatch(/^weight 12\.34 (g|none) (stable|unsaid)$/);
  });
});

it('has a capture for every shape and no other', () => {
  const folder = join(import.meta.dirname, '../../../fixtures/captures');
  const files = readdirSync(folder).filter((file) => file.endsWith('.txt'));
  expect(files.sort()).toEqual(SHAPES.map((shape) => `${shape.name}.txt`).sort());
});
