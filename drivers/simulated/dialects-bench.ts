import type { Dialect } from './dialect.ts';
import { type Display, figureText } from './indicator.ts';

const STX = '\x02';
const ETX = '\x03';
const SOH = '\x01';

const digitsOf = ({ counts, decimals }: Display): string => figureText(Math.abs(counts ?? 0), decimals);
const isNegative = ({ counts }: Display): boolean => (counts ?? 0) < 0;

/** Status byte of a withheld weight: bits 0 motion, 1 over, 2 under zero; 5 and 6 are always set. */
function statusByte(display: Display): string {
  const over = display.range === 'over' ? 2 : 0;
  const under = display.range === 'under' || isNegative(display) ? 4 : 0;
  return String.fromCharCode(0x60 | (display.stable ? 0 : 1) | over | under);
}

const framedDigits: Dialect = {
  shape: 'framed-digits',
  units: { g: '' },
  say: (display) =>
    display.range === 'inside' && display.stable && !isNegative(display)
      ? `${STX}${digitsOf(display).padStart(6, '0')}\r`
      : `${STX}?${statusByte(display)}\r`,
  hears: { W: 'now', Z: 'zero', T: 'tare' },
  bare: 'WZT',
  done: '',
  refused: '',
  unknown: '',
};

const statusBelow: Dialect = {
  shape: 'status-below',
  units: { g: 'G' },
  say: (display, unit) => {
    const fill = display.range === 'over' ? '^' : '_';
    const weight =
      display.range === 'inside'
        ? `${isNegative(display) ? '-' : ''}${digitsOf(display)}`.padStart(9)
        : fill.repeat(9);
    return `\n${weight}${unit}\r\nS${display.stable ? '00' : '10'}\r${ETX}`;
  },
  hears: { W: 'now', Z: 'zero' },
  done: '',
  refused: '',
  unknown: `\n?\r${ETX}`,
};

const statusFirst: Dialect = {
  shape: 'status-first',
  units: { g: 'g  ', ct: 'ct ' },
  say: (display, unit) => {
    const state = { over: 'O', under: 'U', inside: display.counts === 0 ? 'Z' : ' ' }[display.range];
    const number =
      display.range === 'inside'
        ? `${isNegative(display) ? '-' : ''}${digitsOf(display)}`.padStart(10)
        : '-'.repeat(10);
    return `\n${state}1G${display.stable ? ' ' : 'M'} ${number}${unit}\r`;
  },
  hears: { W: 'now', Z: 'zero', T: 'tare', R: 'stop-stream', S: 'stream' },
  done: '',
  refused: '',
  unknown: '',
};

/** STX, three status bytes, digits of weight and of tare. */
function statusBytes(display: Display, a: number, c: number, terminator: string): string {
  const b =
    0x20 | (isNegative(display) ? 2 : 0) | (display.range === 'inside' ? 0 : 4) | (display.stable ? 0 : 8);
  const under = display.range === 'under' ? 2 : 0;
  const digits = String(Math.abs(display.counts ?? 0)).padStart(6, '0');
  return `${STX}${String.fromCharCode(a, b | under, c)}${digits}000000${terminator}`;
}

const framedBits: Dialect = {
  shape: 'framed-bits',
  units: { g: '' },
  say: (display) => statusBytes(display, 0x28 | (display.decimals + 2), 0x21, '\r'),
  hears: {},
  done: '',
  refused: '',
  unknown: '',
};

const framedCodes: Dialect = {
  shape: 'framed-codes',
  units: { g: '' },
  say: (display) => statusBytes(display, 0x22 + display.decimals, 0x21, '\r\n'),
  hears: {},
  done: '',
  refused: '',
  unknown: '',
};

const flagBehind: Dialect = {
  shape: 'flag-behind',
  units: { g: ' g' },
  say: (display, unit) =>
    display.range === 'inside'
      ? `${SOH}${isNegative(display) ? '-' : '+'}${digitsOf(display).padStart(7)}${unit}${display.stable ? '0' : '1'}\r\n`
      : '',
  hears: {},
  done: '',
  refused: '',
  unknown: '',
};

const plain: Dialect = {
  shape: 'plain',
  units: { g: 'g', ct: 'ct', pcs: 'pcs' },
  say: (display, unit) =>
    display.range === 'inside' && display.stable
      ? `Net: ${isNegative(display) ? '-' : ''}${digitsOf(display)} ${unit}\r\n`
      : '',
  hears: {},
  done: '',
  refused: '',
  unknown: '',
};

/** Bench and shop scales, framed by control bytes, and plain printers. */
export const BENCH_DIALECTS: readonly Dialect[] = [
  framedDigits,
  statusBelow,
  statusFirst,
  framedBits,
  framedCodes,
  flagBehind,
  plain,
];
