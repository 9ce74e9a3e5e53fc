import { SHAPES } from '../../drivers/frames/shapes.ts';
import { hear, OPENINGS } from '../../drivers/link/hear.ts';
import { parseLineSettings } from '../../drivers/link/line-settings.ts';
import { SteppedClock } from '../../drivers/simulated/clock.ts';
import { Instrument } from '../../drivers/simulated/instrument.ts';
import { MODELS, ROOMS } from '../../drivers/simulated/physics.ts';
import { seeded } from '../../drivers/simulated/seeded.ts';
import { receive, send } from './uart.ts';

/**
 * Recognition of line settings and shape: every shape that the simulated balance speaks, at several line settings,
 * with noise on the wire, seeds without end. The capture of 2.6 s holds resting lines and, unless told otherwise,
 * some that move. Right: shape and what is needed to read it; asked: the person is asked to touch the pan; wrong.
 */

const SETTINGS = [
  '9600 8N1',
  '2400 7E1',
  '4800 8N1',
  '9600 8O1',
  '1200 7O1',
  '1200 8N2',
  '19200 8N1',
  '9600 7N2',
  '9600 7N1',
  '4800 8E1',
];
const NOISE_PER_BYTE = Number(process.argv[3] ?? 0.002);

export interface Tally {
  right: number;
  asked: number;
  wrong: number;
  missed: number;
}

/** Texts of 2.6 s of a simulated balance, with their times. */
export function capture(shape: string, seed: number, moving: boolean): { at: number; text: string }[] {
  const random = seeded(seed);
  const clock = new SteppedClock();
  const model = random() < 0.3 ? MODELS.C : MODELS.A;
  const instrument = new Instrument({
    clock,
    shape,
    seed,
    model,
    room: ROOMS.quiet,
    rateHz: 6 + 4 * random(),
  });
  instrument.controls.putVessel(5 + 150 * random());
  instrument.start();
  clock.advance(9000);
  const from = clock.now();
  const texts: { at: number; text: string }[] = [];
  instrument.onBytes((bytes) =>
    texts.push({ at: (clock.now() - from) / 1000, text: bytes.toString('latin1') }),
  );
  clock.advance(500 + 400 * random());
  if (moving) instrument.controls.addDrop(0.5 + random());
  clock.advance(2000);
  instrument.stop();
  return texts.map(({ at, text }) => ({ at, text: noisy(text, random) }));
}

function noisy(text: string, random: () => number): string {
  return [...text]
    .map((one) =>
      random() < NOISE_PER_BYTE
        ? String.fromCharCode(one.charCodeAt(0) ^ (1 << Math.floor(random() * 7)))
        : one,
    )
    .join('');
}

/** One trial: what comes out of trying the speeds in turn. */
export function trial(shape: string, setting: string, seed: number, moving: boolean): keyof Tally {
  const line = parseLineSettings(setting);
  const levels = send(capture(shape, seed, moving), line);
  const cut = seeded(seed + 99)() * 20;
  for (const opening of OPENINGS) {
    const { baud } = opening.line;
    const bytes = receive(levels, opening.line, 4).subarray(Math.floor(cut));
    const heard = hear(bytes, opening);
    if (heard.kind === 'ask') {
      if (baud !== line.baud || !heard.shapes.some((one) => one.name === shape)) return 'wrong';
      return 'asked';
    }
    if (heard.kind !== 'found') continue;
    const fits =
      heard.shape.name === shape &&
      baud === line.baud &&
      heard.line.dataBits === line.dataBits &&
      heard.line.parity === line.parity;
    return fits ? 'right' : 'wrong';
  }
  return 'missed';
}

/** All shapes and settings, `seeds` times each. */
export function tally(seeds: number, moving: boolean): Map<string, Tally> {
  const all = new Map<string, Tally>();
  for (const { name } of SHAPES) {
    const found: Tally = { right: 0, asked: 0, wrong: 0, missed: 0 };
    for (const setting of SETTINGS)
      for (let seed = 1; seed <= seeds; seed++) found[trial(name, setting, seed, moving)] += 1;
    all.set(name, found);
  }
  return all;
}

if (import.meta.main) {
  const seeds = Number(process.argv[2] ?? 200);
  for (const moving of [true, false]) {
    const started = performance.now();
    const all = tally(seeds, moving);
    const sum = (key: keyof Tally): number => [...all.values()].reduce((total, one) => total + one[key], 0);
    const count = sum('right') + sum('asked') + sum('wrong') + sum('missed');
    const percent = (key: keyof Tally): string => `${((100 * sum(key)) / count).toFixed(2)} %`;
    console.log(
      `recognition, ${moving ? 'with moving lines' : 'resting lines only'}: ${count} captures ` +
        `(${SHAPES.length} shapes x ${SETTINGS.length} settings x ${seeds} seeds, 1 to ${seeds}), noise ${NOISE_PER_BYTE} a byte, ` +
        `${((performance.now() - started) / 1000).toFixed(0)} s`,
    );
    console.log(
      `  right ${percent('right')}, asked ${percent('asked')}, wrong ${percent('wrong')}, not recognised ${percent('missed')}`,
    );
    for (const [name, { right, asked, wrong, missed }] of all)
      console.log(
        `  ${name.padEnd(16)} right ${right}, asked ${asked}, wrong ${wrong}, not recognised ${missed}`,
      );
  }
}
