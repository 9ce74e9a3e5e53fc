import { LinkTrouble } from '../link/balance.ts';
import type { Asked, Dialect } from './dialect.ts';
import { type Display, figureText } from './indicator.ts';

const asked = (table: Readonly<Record<string, Asked['do']>>) => {
  const map = new Map(Object.entries(table));
  return (command: string): Asked => ({ do: map.get(command) ?? 'unknown' });
};

/** Sign, then digits filled with zeros, `width` characters with the point. */
function zeroFilled(counts: number, decimals: number, width: number): string {
  const text = figureText(Math.abs(counts), decimals).padStart(width, '0');
  return `${counts < 0 ? '-' : '+'}${text}`;
}

const commaHeaded: Dialect = {
  shape: 'comma-headed',
  say: ({ counts, range, stable, decimals }: Display) => {
    if (counts === null) return `OL,${range === 'under' ? '-' : '+'}9999999E+19\r\n`;
    return `${stable ? 'ST' : 'US'},${zeroFilled(counts, decimals, 8)}  g\r\n`;
  },
  hear: asked({
    Q: 'now',
    SI: 'now',
    S: 'when-stable',
    SIR: 'stream',
    C: 'stop-stream',
    R: 'tare',
    T: 'tare',
    Z: 'zero',
  }),
  done: '',
  refused: 'EC,E11\r\n',
  unknown: 'EC,E01\r\n',
};

const twoHeaded: Dialect = {
  shape: 'two-headed',
  say: ({ counts, range, stable, decimals }: Display) => {
    if (counts === null) return `OL,GS,${range === 'under' ? '-' : '+'}       g\r\n`;
    const digits = figureText(Math.abs(counts), decimals).padStart(7);
    return `${stable ? 'ST' : 'US'},GS,${counts < 0 ? '-' : '+'}${digits}g\r\n`;
  },
  hear: asked({ READ: 'now', TARE: 'tare', ZERO: 'zero' }),
  done: 'OK\r\n',
  refused: 'ERR04\r\n',
  unknown: 'ERR01\r\n',
};

/** The shapes that the simulated balance speaks. */
export const DIALECTS: readonly Dialect[] = [commaHeaded, twoHeaded];

/** @throws LinkTrouble "unknown-shape" that lists the names there are */
export function dialectNamed(name: string): Dialect {
  const dialect = DIALECTS.find((one) => one.shape === name);
  if (dialect !== undefined) return dialect;
  throw new LinkTrouble(
    'unknown-shape',
    `The simulated balance does not speak the shape "${name}".`,
    name,
    `Choose one of: ${DIALECTS.map((one) => one.shape).join(', ')}.`,
  );
}
