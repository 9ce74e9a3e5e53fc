import { describe, expect, it } from 'vitest';
import { formatLineSettings, parseLineSettings } from '../../../drivers/link/line-settings.ts';

describe('line settings', () => {
  it.each(['9600 8N1', '2400 7E1', '1200 7O1', '1200 8N2', '9600 8O1', '4800 7M1', '4800 7S2'])(
    'reads and writes %s',
    (text) => {
      expect(formatLineSettings(parseLineSettings(text))).toBe(text);
    },
  );

  it('is lenient in blanks and case', () => {
    expect(formatLineSettings(parseLineSettings(' 2400, 7e1 '))).toBe('2400 7E1');
  });

  it.each([
    ['', 'not of the form'],
    ['8N1', 'not of the form'],
    ['9600', 'not of the form'],
    ['9601 8N1', 'speed 9601 is none of'],
    ['9600 9N1', 'data bits 9 are neither 7 nor 8'],
    ['9600 8X1', 'parity "X" is none of'],
    ['9600 8N3', 'stop bits 3 are neither 1 nor 2'],
  ])('says what is wrong with "%s"', (text, what) => {
    expect(() => parseLineSettings(text)).toThrow(what);
  });
});
