import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Meaning } from '../../../drivers/frames/shape.ts';

export interface Row {
  readonly line: string;
  readonly meaning: string;
}

/** Rows of fixtures/captures/NAME.txt; see its README for the form. */
export function capture(name: string): Row[] {
  const path = join(import.meta.dirname, '../../../fixtures/captures', `${name}.txt`);
  return readFileSync(path, 'utf8')
    .split('\n')
    .filter((row) => row !== '' && !row.startsWith('#'))
    .map((row) => {
      const match = /^("(?:[^"\\]|\\.)*") +(.+)$/.exec(row);
      if (match === null) throw new Error(`${path}: "${row}" is not a row`);
      return { line: String(JSON.parse(match[1] ?? '')), meaning: match[2] ?? '' };
    });
}

/** A meaning in the words of a capture. */
export function inWords(meaning: Meaning | null): string {
  if (meaning === null) return 'none';
  if (meaning.kind === 'out-of-range') return meaning.way;
  if (meaning.kind !== 'weight') return meaning.kind;
  const rest = meaning.stable === null ? 'unsaid' : meaning.stable ? 'stable' : 'moving';
  const mark = meaning.uncertified === true ? ' uncertified' : '';
  return `weight ${meaning.figure} ${meaning.unit === 'blank' ? '-' : meaning.unit} ${rest}${mark}`;
}
