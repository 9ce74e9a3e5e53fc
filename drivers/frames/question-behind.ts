import { figureOf } from './figure.ts';
import { type Meaning, pointed, type Shape, unitTable, WHICH_TAEL, weightIn } from './shape.ts';

/**
 * Number right-aligned, unit, a question mark behind it while the reading moves, then perhaps a legend:
 * "     12.34 g    ?". Column widths differ from model to model, so tokens are read inside a number field of 8 to
 * 12 characters; a minus may stand in the first column, apart from its digits.
 */

const TAEL = { not: WHICH_TAEL };
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
  mom: { unit: 'mom' },
  t: { not: 'a unit "t", which may be tola or tonne; set the balance to grams' },
  tl: TAEL,
  tlh: { unit: 'tael-hk' },
  tlt: { unit: 'tael-tw' },
  tls: TAEL,
  N: { not: 'a force in newton' },
  PCS: { not: 'a count of pieces' },
  '%': { not: 'a percentage' },
  'lb:oz': { not: 'pounds and ounces in one figure' },
});

const LINE =
  /^(?=[ \d.+-]{8,12} [A-Za-z%])( *)([+-]?)( *)(\d{1,9}(?:\.\d{1,8})?) ([A-Za-z%][A-Za-z:]{0,4}) {0,8}(\?)? {0,3}(?:G|N|T|NET|TOTAL|PT|B|\d\d:\d\d:\d\d)? {0,8}$/;

function parse(line: string): Meaning | null {
  const [, , sign = '', , digits = '', unit = '', mark = ''] = LINE.exec(line) ?? [];
  if (digits !== '') return pointed(weightIn(UNITS, unit, figureOf(sign, digits), mark === ''));
  if (line === 'ES')
    return { kind: 'fault', what: 'the balance refuses the command, or gave up waiting for rest' };
  if (line === 'OK!') return { kind: 'noise', what: 'acknowledgement' };
  if (/^ *Err(?:or)? ?\d{1,2}(?:\.\d)?$/.test(line))
    return { kind: 'fault', what: `the balance reports ${line.trim()}` };
  if (/^ *-{4,10} *(?:[A-Za-z]{1,3} *)?$/.test(line))
    return { kind: 'fault', what: 'the balance shows dashes' };
  return null;
}

export const questionBehind: Shape = {
  name: 'question-behind',
  title: 'a question mark behind the unit while it moves',
  sample: '     12.34 g',
  lines: ['9600 8N1', '2400 7N2'],
  parse,
  /** Commands that start or stop a stream are left out: on some models they rewrite the menu. */
  commands: { now: 'IP\r\n', stable: 'SP\r\n', tare: 'T\r\n', zero: 'Z\r\n', identify: 'PSN\r\n' },
  leastInterval: 200,
  flow: 'xonxoff',
};
