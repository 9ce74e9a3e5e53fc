import { figureOf } from './figure.ts';
import { type Meaning, pointed, type Shape, unitTable, weightIn } from './shape.ts';

/**
 * A number and a unit, perhaps with a label before: "Net: 12.34 g". The line says nothing of rest. The least
 * certain of all shapes: choose it only when no other fits.
 */

const UNITS = unitTable({
  g: { unit: 'g' },
  kg: { unit: 'kg' },
  mg: { unit: 'mg' },
  ct: { unit: 'ct' },
  oz: { unit: 'oz' },
  ozt: { unit: 'ozt' },
  lb: { unit: 'lb' },
  dwt: { unit: 'dwt' },
  GN: { unit: 'gr' },
  pcs: { not: 'a count of pieces' },
  PCS: { not: 'a count of pieces' },
  '%': { not: 'a percentage' },
});

const LABELLED =
  /^(?:Net|NET|N|Weight|WT|NT|Nt|N\/W|G\/W|Gross|GROSS|GS|wn|ww):? {0,10}([+-]?) {0,8}(\d{1,9}(?:\.\d{1,8})?) {0,3}([A-Za-z%]{1,3}) {0,3}$/;
/** Without a label the unit stands apart. */
const BARE = /^ {0,10}([+-]?) {0,8}(\d{1,9}(?:\.\d{1,8})?) {1,3}([A-Za-z%]{1,3}) {0,3}$/;

function parse(line: string): Meaning | null {
  const [, sign = '', digits = '', unit = ''] = LABELLED.exec(line) ?? BARE.exec(line) ?? [];
  if (digits !== '') return pointed(weightIn(UNITS, unit, figureOf(sign, digits), null));
  if (/^(?:Tare|TARE|T|Date|Time|ID|No\.?|MODE|TEMP|STATUS|MODEL|SN)\b[\x20-\x7e]{0,40}$/.test(line))
    return { kind: 'noise', what: 'a line of a printed block' };
  if (line === '\x01' || line === '\x04') return { kind: 'noise', what: 'begin or end of a printed block' };
  return null;
}

export const plain: Shape = {
  name: 'plain',
  title: 'only a number and a unit, perhaps with a label',
  sample: 'Net: 12.34 g',
  lines: ['9600 8N1', '4800 8N1'],
  parse,
  commands: {},
  leastInterval: 1000,
  flow: 'none',
};
