import { figureOf } from './figure.ts';
import { type Meaning, pointed, type Shape, unitTable, weightIn } from './shape.ts';

/**
 * Nothing padded: perhaps "S" or "U", then a blank or minus, the number as the display shows it, the unit glued on
 * and filled to two characters: "S 12.34g ". Without the letters the line says nothing of rest.
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
  mom: { unit: 'mom' },
  '%': { not: 'a percentage' },
  pcs: { not: 'a count of pieces' },
});

const SAID = /^([SU])([ -])(\d{1,9}(?:\.\d{1,8})?)([a-z%]{2,3}|[a-z%] )$/;
const UNSAID = /^([ -]?)(\d{1,9}(?:\.\d{1,8})?)([a-z%]{2,3}|[a-z%] ?)$/;

function parse(line: string): Meaning | null {
  const beyond = /^[SU]?([ -]) ?oL *$/.exec(line);
  if (beyond !== null) return { kind: 'out-of-range', way: beyond[1] === '-' ? 'under' : 'over' };
  const said = SAID.exec(line);
  if (said !== null) {
    const [, status = '', sign = '', digits = '', unit = ''] = said;
    return pointed(weightIn(UNITS, unit.trimEnd(), figureOf(sign, digits), status === 'S'));
  }
  const [, sign = '', digits = '', unit = ''] = UNSAID.exec(line) ?? [];
  return digits === '' ? null : pointed(weightIn(UNITS, unit.trimEnd(), figureOf(sign, digits), null));
}

export const unpadded: Shape = {
  name: 'unpadded',
  title: 'no blanks to fill up, the unit glued to the number',
  sample: 'S 12.34g ',
  lines: ['1200 8N1', '9600 8N1'],
  parse,
  commands: { now: 'D05\r\n', stable: 'D08\r\n', stream: 'D03\r\n', stopStream: 'D09\r\n', tare: 'T\r\n' },
  /** Faster writing made a model of this kind flood its line. */
  leastInterval: 1000,
  flow: 'none',
};
