import { describe, expect, it } from 'vitest';
import { recognise } from '../../../drivers/frames/recognise.ts';
import { SHAPES } from '../../../drivers/frames/shapes.ts';

const told = (lines: readonly string[]): string => {
  const found = recognise(lines, SHAPES);
  return found.kind === 'shape' ? found.shape.name : found.kind;
};

describe('recognising a shape', () => {
  it('tells one header from two', () => {
    expect(told(Array(3).fill('ST,+00012.34  g'))).toBe('comma-headed');
    expect(told(Array(3).fill('ST,GS,+  12.34g'))).toBe('two-headed');
    expect(told(Array(3).fill('ST,OK,+0001.234 kg'))).toBe('comma-headed');
  });

  it('wants three whole lines and 60 % of all', () => {
    expect(told(['ST,+00012.34  g', 'ST,+00012.34  g'])).toBe('more');
    const mixed = [...Array(3).fill('ST,+00012.34  g'), 'x', 'y'];
    expect(told(mixed)).toBe('comma-headed');
    expect(told([...mixed, 'z'])).toBe('none');
  });

  it('says which line it could not read', () => {
    const found = recognise(['a', 'b', '\x80c'], SHAPES);
    expect(found.kind === 'none' && found.why).toBe(
      '3 lines came and fit no known shape; the last was "\\x80c"',
    );
  });

  it('does not take acknowledgements or bare numbers for a shape', () => {
    expect(told(['Z', 'Z', 'OK'])).toBe('none');
    expect(told(Array(4).fill('+000.1278'))).toBe('none');
  });
});
