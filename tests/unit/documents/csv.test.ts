import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { csv, Figure } from '../../../electron/host/documents/csv.ts';
import { recordCsv } from '../../../electron/host/documents/record-csv.ts';
import { plainRecord, wideRecord } from './given.ts';

describe('CSV', () => {
  it('writes a decimal comma with semicolons, or a point with commas', () => {
    const rows = [['a, b', new Figure('-0.05'), '1.5']];
    expect(csv(rows, 'point')).toBe('"a, b",-0.05,1.5\r\n');
    /* What is text stays as it was typed, even when it looks like a number. */
    expect(csv(rows, 'comma')).toBe('a, b;-0,05;1.5\r\n');
  });

  it('defuses text that a spreadsheet would run, and no figure', () => {
    const cells = ['=1+1', '+1', '@x', '-x', '\tx', '-1', '-1,5'];
    const [row] = Papa.parse<string[]>(csv([cells], 'point').trimEnd()).data;
    expect(row).toEqual(["'=1+1", "'+1", "'@x", "'-x", "'\tx", '-1', '-1,5']);
    expect(csv([[new Figure('-12.5')]], 'comma')).toBe('-12,5\r\n');
  });
});

describe('the record as CSV', () => {
  it.each([
    ['point', ',', '.'],
    ['comma', ';', ','],
  ] as const)('says with a decimal %s what the record says', (sign, delimiter, point) => {
    const text = recordCsv(wideRecord, sign);
    const { data, errors } = Papa.parse<string[]>(text, { delimiter });
    expect(errors).toEqual([]);
    const value = (name: string): string => data.find((row) => row[0] === name)?.[1] ?? '';
    expect(value('batch')).toBe('Été № 7: Пион, 薔薇 & Ελιά');
    expect(value('total (g)').replace(point, '.')).toBe(wideRecord.asMade.total);
    expect(value('closure (g)').replace(point, '.')).toBe(wideRecord.batch.closure);
    expect(value('last event hash')).toBe(wideRecord.head.hash);
    const head = data.find((row) => row[0] === 'line') ?? [];
    expect(
      head
        .filter((title) => /(target|poured|U|deviation|window)/.test(title))
        .every((title) => title.includes('(')),
    ).toBe(true);
    const poured = head.indexOf('poured (g)');
    for (const line of wideRecord.asMade.lines)
      expect(data.find((row) => row[0] === line.title)?.[poured]?.replace(point, '.')).toBe(line.poured);
    expect(data.at(-2)?.slice(1)).toEqual(['山田 花子', 'имя', 'The lid says "Été".']);
  });

  it('ends every line in CR LF', () => {
    const text = recordCsv(plainRecord);
    expect(text.split('\r\n').join('')).not.toMatch(/[\r\n]/);
    expect(text.endsWith('\r\n')).toBe(true);
  });
});
