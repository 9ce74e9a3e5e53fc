import { describe, expect, it } from 'vitest';
import { Reader } from '../../../drivers/frames/reader.ts';
import { shapeNamed } from '../../../drivers/frames/shapes.ts';

const reading = (name: string, said: string | null = null) => {
  const reader = new Reader(shapeNamed(name), said);
  return (text: string) => reader.read({ kind: 'line', text, at: 5 });
};

describe('from line to observation', () => {
  it('gives exact grams, keeping digits, in every unit', () => {
    const read = reading('comma-headed');
    expect(read('ST,+0000.100 kg')).toEqual({
      kind: 'weight',
      g: '100',
      figure: '0.100',
      digits: 3,
      unit: 'kg',
      stable: true,
      raw: 'ST,+0000.100 kg',
      at: 5,
    });
    expect(read('US,-00001.00 ct')).toMatchObject({ g: '-0.200', unit: 'ct', stable: false });
    expect(read('ST,+000.1000ozt')).toMatchObject({ g: '3.11034768000', unit: 'ozt' });
  });

  it('shows a moving reading without unit in the last unit seen, but never as stable', () => {
    const read = reading('sign-first');
    expect(read('+    12.34    ')).toMatchObject({
      kind: 'noise',
      what: expect.stringContaining('not yet said its unit'),
    });
    read('+    12.34 g  ');
    expect(read('+    12.99    ')).toMatchObject({ kind: 'weight', g: '12.99', unit: 'g', stable: false });
    expect(read('+       12 pcs')).toMatchObject({ kind: 'not-a-weight' });
    expect(read('+       13    ')).toMatchObject({ kind: 'noise' });
  });

  it('reads digits without unit only in the unit that the person says', () => {
    expect(reading('framed-digits')('\x02012.34')).toMatchObject({
      kind: 'refused',
      why: expect.stringContaining('no unit'),
    });
    expect(reading('framed-digits', 'g')('\x02012.34')).toMatchObject({
      kind: 'weight',
      g: '12.34',
      stable: true,
    });
  });

  it('marks an uncertified digit and keeps it', () => {
    expect(reading('letters-behind')('+007.12/3 G S')).toMatchObject({
      g: '7.123',
      digits: 3,
      uncertified: true,
    });
  });

  it('takes date, time and rules between weights for noise, and refuses the rest with its reason', () => {
    const read = reading('comma-headed');
    for (const line of ['2024-05-01', '12:34:56', '01.05.2024 12:34', 'Date: 2024/05/01', '--------', '   '])
      expect([line, read(line).kind]).toEqual([line, 'noise']);
    expect(read('hello')).toEqual({
      kind: 'refused',
      raw: 'hello',
      why: 'the line has not the shape "comma-headed"',
      at: 5,
    });
    expect(read('ST,+00012.34 xx')).toMatchObject({
      kind: 'refused',
      why: 'unknown unit "xx"; set the balance to grams',
    });
  });
});
