import type { Dialect } from './dialect.ts';
import { type Display, figureText } from './indicator.ts';

/** Digits without sign. */
const digitsOf = ({ counts, decimals }: Display): string => figureText(Math.abs(counts ?? 0), decimals);
const isNegative = ({ counts }: Display): boolean => (counts ?? 0) < 0;

const commaHeaded: Dialect = {
  shape: 'comma-headed',
  units: { g: '  g', ct: ' ct', pcs: ' PC' },
  say: (display, unit) => {
    if (display.range !== 'inside') return `OL,${display.range === 'under' ? '-' : '+'}9999999E+19\r\n`;
    const header = !display.stable ? 'US' : unit === ' PC' ? 'QT' : 'ST';
    return `${header},${isNegative(display) ? '-' : '+'}${digitsOf(display).padStart(8, '0')}${unit}\r\n`;
  },
  hears: {
    Q: 'now',
    SI: 'now',
    S: 'when-stable',
    SIR: 'stream',
    C: 'stop-stream',
    R: 'tare',
    T: 'tare',
    Z: 'zero',
  },
  done: '',
  refused: 'EC,E11\r\n',
  unknown: 'EC,E01\r\n',
};

const twoHeaded: Dialect = {
  shape: 'two-headed',
  units: { g: 'g', ct: 'ct', pcs: 'PCS' },
  say: (display, unit) => {
    if (display.range !== 'inside') return `OL,GS,${display.range === 'under' ? '-' : '+'}       ${unit}\r\n`;
    const header = display.stable ? 'ST' : 'US';
    return `${header},GS,${isNegative(display) ? '-' : '+'}${digitsOf(display).padStart(7)}${unit}\r\n`;
  },
  hears: { READ: 'now', TARE: 'tare', ZERO: 'zero' },
  done: 'OK\r\n',
  refused: 'ERR04\r\n',
  unknown: 'ERR01\r\n',
};

const statusLetter: Dialect = {
  shape: 'status-letter',
  units: { g: 'g', ct: 'ct', pcs: 'PCS' },
  say: (display, unit) => {
    if (display.range !== 'inside') return `S ${display.range === 'under' ? '-' : '+'}\r\n`;
    const number = `${isNegative(display) ? '-' : ''}${digitsOf(display)}`.padStart(10);
    return `S ${display.stable ? 'S' : 'D'} ${number} ${unit}\r\n`;
  },
  hears: {
    SI: 'now',
    S: 'when-stable',
    SIR: 'stream',
    '@': 'stop-stream',
    T: 'tare',
    Z: 'zero',
    I4: 'identify',
  },
  done: 'Z A\r\n',
  refused: 'Z I\r\n',
  unknown: 'ES\r\n',
  identity: 'I4 A "0000000000"\r\n',
};

const markerFirst: Dialect = {
  shape: 'marker-first',
  units: { g: 'g  ', ct: 'ct ', pcs: 'pcs' },
  say: (display, unit, echo) => {
    const mark = { over: '^', under: 'v', inside: display.stable ? ' ' : '?' }[display.range];
    const number = display.range === 'inside' ? digitsOf(display).padStart(9) : ' '.repeat(9);
    return `${(echo ?? 'C1').padEnd(3)}${mark} ${isNegative(display) ? '-' : ' '}${number} ${unit}\r\n`;
  },
  hears: {
    SI: 'now',
    S: 'when-stable',
    C1: 'stream',
    C0: 'stop-stream',
    T: 'tare',
    Z: 'zero',
    NB: 'identify',
  },
  done: 'Z D\r\n',
  refused: 'Z E\r\n',
  unknown: 'ES\r\n',
  identity: 'NB A "000000"\r\n',
};

const signFirst: Dialect = {
  shape: 'sign-first',
  units: { g: 'g  ', ct: 'ct ', pcs: 'pcs' },
  say: (display, unit) => {
    if (display.range !== 'inside')
      return display.range === 'under' ? '       Low    \r\n' : '      High    \r\n';
    const sign = isNegative(display) ? '-' : display.counts === 0 ? ' ' : '+';
    return `${sign} ${digitsOf(display).padStart(8)} ${display.stable ? unit : '   '}\r\n`;
  },
  hears: { '\x1bP': 'now', '\x1bT': 'tare', '\x1bU': 'tare', '\x1bV': 'zero' },
  done: '',
  refused: '',
  unknown: '',
};

const questionBehind: Dialect = {
  shape: 'question-behind',
  units: { g: 'g', ct: 'ct', pcs: 'PCS' },
  say: (display, unit) => {
    if (display.range !== 'inside') return '   -----\r\n';
    const number = `${isNegative(display) ? '-' : ''}${digitsOf(display)}`.padStart(10);
    return `${number} ${unit.padEnd(5)}${display.stable ? '' : '?'}`.trimEnd().concat('\r\n');
  },
  hears: { IP: 'now', SP: 'when-stable', T: 'tare', Z: 'zero' },
  done: 'OK!\r\n',
  refused: 'ES\r\n',
  unknown: 'ES\r\n',
};

const lettersBehind: Dialect = {
  shape: 'letters-behind',
  units: { g: ' G', ct: 'CT', pcs: 'PC' },
  say: (display, unit) => {
    const sign = isNegative(display) ? '-' : display.counts === 0 ? ' ' : '+';
    const digits = digitsOf(display).padStart(7, '0');
    const status = display.range !== 'inside' ? 'E' : display.stable ? 'S' : 'U';
    return `${sign}${digits}${unit} ${status}\r\n`;
  },
  hears: { O8: 'now', O9: 'when-stable', O1: 'stream', O0: 'stop-stream', 'T ': 'tare' },
  done: 'A00\r\n',
  refused: 'E04\r\n',
  unknown: 'E01\r\n',
};

const tenDigits: Dialect = {
  shape: 'ten-digits',
  units: { g: 'g  ', ct: 'ct ', pcs: 'pcs' },
  say: (display, unit) => {
    if (display.range !== 'inside') return '           Error\r\n';
    const sign = isNegative(display) ? '-' : ' ';
    return ` ${sign}${digitsOf(display).padStart(10)} ${display.stable ? unit : '   '}\r\n`;
  },
  hears: { w: 'now', s: 'when-stable', t: 'tare' },
  done: '',
  refused: '',
  unknown: '',
};

const unpadded: Dialect = {
  shape: 'unpadded',
  units: { g: 'g ', ct: 'ct' },
  say: (display, unit) => {
    const status = display.stable ? 'S' : 'U';
    if (display.range !== 'inside') return `${status}${display.range === 'under' ? '-' : ' '} oL\r\n`;
    return `${status}${isNegative(display) ? '-' : ' '}${digitsOf(display)}${unit}\r\n`;
  },
  hears: { D05: 'now', D08: 'when-stable', D03: 'stream', D09: 'stop-stream', T: 'tare' },
  done: '',
  refused: '',
  unknown: '',
};

/** Laboratory and jewellery balances. */
export const LAB_DIALECTS: readonly Dialect[] = [
  commaHeaded,
  twoHeaded,
  statusLetter,
  markerFirst,
  signFirst,
  questionBehind,
  lettersBehind,
  tenDigits,
  unpadded,
];
