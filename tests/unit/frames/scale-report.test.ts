import { describe, expect, it } from 'vitest';
import { parseScaleReport } from '../../../drivers/frames/scale-report.ts';
import { inWords } from './captures.ts';

const words = (hex: string): string => inWords(parseScaleReport(Buffer.from(hex.replaceAll(' ', ''), 'hex')));

describe('the report of a USB scale', () => {
  it.each([
    ['03 04 02 00 14 00', 'weight 20 g stable'],
    ['03 04 0B FF 34 19', 'weight 645.2 oz stable'],
    ['03 04 02 FE D2 04', 'weight 12.34 g stable'],
    ['03 03 02 FE D2 04', 'weight 12.34 g moving'],
    ['03 02 02 FE 00 00', 'weight 0.00 g stable'],
    ['03 05 02 FE 05 00', 'weight -0.05 g unsaid'],
    ['03 04 02 FD FF FF', 'weight 65.535 g stable'],
    ['03 04 03 01 02 00', 'weight 20 kg stable'],
    ['03 04 04 FE 1A 18', 'weight 61.70 ct stable'],
    ['00 03 04 02 FE D2 04', 'weight 12.34 g stable'],
    ['03 04 05 FE D2 04', 'not-a-weight'],
    ['03 06 02 FE FF FF', 'over'],
    ['03 01 02 FE 00 00', 'fault'],
    ['03 07 02 FE 00 00', 'fault'],
    ['03 08 02 FE 00 00', 'fault'],
    ['03 04 63 FE D2 04', 'refused'],
    ['03 09 02 FE D2 04', 'refused'],
    ['03 04 02 80 D2 04', 'refused'],
    ['03 04 02 7F D2 04', 'refused'],
    ['04 04 02 FE D2 04', 'none'],
    ['03 04 02 FE D2', 'none'],
    ['', 'none'],
  ])('%s is %s', (hex, meaning) => {
    expect(words(hex)).toBe(meaning);
  });
});
