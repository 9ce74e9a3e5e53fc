import { describe, expect, it } from 'vitest';
import { SHAPES } from '../../../drivers/frames/shapes.ts';
import { parseLineSettings } from '../../../drivers/link/line-settings.ts';
import { askable, askings } from '../../../drivers/link/questions.ts';
import { receive, send } from '../../bench/uart.ts';

/**
 * What balances of each shape must never hear, as manuals and drivers list it: restart, calibration, on and off,
 * tare, zero, units, modes, keys, menus, and output that goes on by itself. `letters` act without a terminator.
 */
const HARM: Readonly<Record<string, { letters?: string; lines?: readonly RegExp[] }>> = {
  'comma-headed': { lines: [/^(?:R|Z|T|U|P|C|CAL|ON|OFF|SIR)$/] },
  'two-headed': { letters: 'TZ', lines: [/^(?:TARE|ZERO|C)$/] },
  'status-letter': { lines: [/^(?:Z|ZI|T|TI|TAC|@|SIR|SIRU|SR)$/, /^TA ./] },
  'marker-first': { lines: [/^(?:Z|T|C1|CU1|C0|CU0)$/, /^UT/] },
  /* ESC and terminator are optional on some: each letter alone may act. A relative takes a letter and CR. */
  'sign-first': { letters: 'TUVSZOKLMN', lines: [/^[TCIF]$/] },
  'question-behind': {
    lines: [/^(?:T|Z|C|PU|PM|ON|OFF|SLP|SLZP|CP|AS|CS|\?)$/, /^\d+(?:P|T|U|M|S)$/],
  },
  'letters-behind': { letters: 't', lines: [/^T $/, /^O[0-7AB]$/] },
  'ten-digits': { letters: 't' },
  'framed-digits': { letters: 'ZTCHE' },
  'status-below': { lines: [/^[ZTMU]$/] },
  'status-first': { lines: [/^[ZTSR]$/] },
  'framed-bits': {},
  'framed-codes': {},
  'flag-behind': {},
  plain: {},
};

/** What of the text would act on a balance of this shape; a line acts once it has ended. */
function harm(shape: string, text: string): string | null {
  const { letters = '', lines = [] } = HARM[shape] ?? {};
  const letter = [...text].find((one) => letters.includes(one));
  if (letter !== undefined) return `"${letter}" in ${JSON.stringify(text)}`;
  const ended = text.split(/[\r\n]+/).slice(0, -1);
  const line = ended.find((one) => lines.some((pattern) => pattern.test(one)));
  return line === undefined ? null : `${JSON.stringify(line)} in ${JSON.stringify(text)}`;
}

/** Text that a balance at these settings hears of bytes that were sent at others; harmed characters are dropped. */
function heard(bytes: string, sentAt: string, heardAt: string): string {
  const levels = send([{ at: 0.01, text: bytes }], parseLineSettings(sentAt));
  const line = parseLineSettings(heardAt);
  const got = receive(levels, line, 2);
  return [...got].map((byte) => String.fromCharCode(byte & 0x7f)).join('');
}

/** Every shape that may be asked without being named, at the line settings of its row. */
const DEAF_TO_ALL = 'unpadded';
const listed = SHAPES.filter(({ name }) => name !== DEAF_TO_ALL);

describe('questions to a silent port', () => {
  it('know what harms every listed shape but the one that is named in the question itself', () => {
    expect(Object.keys(HARM).toSorted()).toEqual(listed.map((one) => one.name).toSorted());
    expect(askings().flatMap((one) => one.shapes)).not.toContain(DEAF_TO_ALL);
    expect(askings(DEAF_TO_ALL)).toEqual([]);
  });

  it('see a harmful command for what it is', () => {
    expect(harm('comma-headed', 'P\r\n')).not.toBeNull();
    expect(harm('sign-first', '\x1bS\r\n')).not.toBeNull();
    expect(harm('letters-behind', 'T \r\n')).not.toBeNull();
    expect(harm('ten-digits', 'w\r\n')).toBeNull();
    expect(heard('SI\r\n', '9600 8N1', '9600 8N1')).toBe('SI\r\n');
  });

  /** All that a balance hears of the questions, in their order; nothing more is sent once it has answered. */
  function hears(name: string, line: string, answers: boolean): string {
    let text = '';
    for (const one of askings()) {
      const got = heard(one.bytes, one.line, line);
      text += got;
      if (answers && one.shapes.includes(name) && got === one.bytes) break;
    }
    return text;
  }
  const harmed = (answers: boolean): string[] =>
    listed.flatMap(({ name, lines }) =>
      lines.flatMap((line) => {
        const what = harm(name, hears(name, line, answers));
        return what === null ? [] : [`${name} at ${line} hears ${what}`];
      }),
    );

  it('do no listed shape harm at any of its line settings, whatever settings they are sent at', () => {
    expect(harmed(true)).toEqual([]);
  });

  it('do harm to none that leaves its own question unanswered, but for what is known', () => {
    const known = [
      /* Only firmware that takes its commands without ESC would act on these, and only after it left ESC P unanswered. */
      /^sign-first at 9600 8O1 hears "U" /,
      /^sign-first at 1200 7O1 hears "O" /,
    ];
    const found = harmed(false);
    expect(found.filter((one) => !known.some((pattern) => pattern.test(one)))).toEqual([]);
    expect(found).toHaveLength(known.length);
  });

  it('do no harm where the shape is named, at its own settings', () => {
    const found = listed.flatMap(({ name, lines }) =>
      lines.flatMap((line) =>
        askings(name).flatMap((one) => harm(name, heard(one.bytes, one.line, line)) ?? []),
      ),
    );
    expect(found).toEqual([]);
  });

  it('are the only commands that a balance is asked with again and again, besides its own "now"', () => {
    for (const shape of SHAPES) {
      const put = askings(shape.name).map((one) => one.bytes);
      for (const command of askable(shape)) expect([shape.commands.now, ...put]).toContain(command);
    }
  });
});
