import { mkdirSync } from 'node:fs';
import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { serialBalance } from '../../drivers/link/serial.ts';
import { Instrument } from '../../drivers/simulated/instrument.ts';
import { servePty } from '../../drivers/simulated/pty.ts';
import { demoWorkshop } from '../host/demo.ts';
import { openStore } from '../host/store/store.ts';
import { troubleOf } from '../host/trouble.ts';
import { runBatch } from './batch.ts';
import { fastClock, handAt, type Rig } from './rig.ts';
import { processTalk, type Talk, troubleLines } from './talk.ts';
import { verify } from './verify.ts';
import { Words } from './words.ts';

/**
 * The main job without a window: a simulated hand pours the demo formula on the simulated balance through a real
 * pseudo-terminal, lets some drops too many fall into one line, and takes the least correction.
 */

const FORMULA = 'hedge-bank-4';
/** Lets so many drops too many fall into this line. */
const SLIP = { line: 'l4', drops: 4 };
/** Bench, balance and hand live in time that runs so many times as fast; nothing else is changed by it. */
const SPEED = 4;
const SHAPE = 'comma-headed';
const LINE = '9600 8N1';

/** The simulated balance behind a pseudo-terminal, opened as any serial port. @throws LinkTrouble */
async function ptyRig(print: (text: string) => void): Promise<Rig> {
  const clock = fastClock(SPEED);
  const instrument = new Instrument({ clock, shape: SHAPE });
  const port = await servePty(instrument, LINE);
  const balance = serialBalance({ path: port.path, shape: SHAPE, line: LINE, now: clock.now });
  const hand = handAt(instrument, clock, SLIP);
  const words = new Words();
  print(`Simulated balance on ${port.path}, ${LINE}; its time runs ${SPEED} times as fast as ours.`);
  return {
    balance,
    now: clock.now,
    hear: (line) => {
      hand.hear(line);
      print(words.of(line));
    },
    close: async () => {
      hand.stop();
      await balance.stop();
      await port.close();
      instrument.stop();
    },
  };
}

async function demo(out: string, talk: Talk): Promise<number> {
  const { formulas, materials, lots } = demoWorkshop();
  const formula = formulas.find((one) => one.id === FORMULA);
  if (formula === undefined) throw new RangeError(`the demo workshop has no formula "${FORMULA}"`);
  mkdirSync(out, { recursive: true });
  const store = openStore(out);
  try {
    const rig = await ptyRig((text) => process.stdout.write(`${text}\n`));
    try {
      const what = { formula, materials, lots, operator: 'simulated hand' };
      const closed = await runBatch(store, rig, { what, onOverpour: 'least', tared: false }, talk);
      return closed ? verify(resolve(out, 'as-made.json'), talk) : 1;
    } finally {
      await rig.close();
    }
  } finally {
    store.close();
  }
}

const talk: Talk = { ...processTalk(), emit: () => {} };
try {
  const { values } = parseArgs({ options: { out: { type: 'string', default: 'out' } } });
  process.exitCode = await demo(resolve(values.out), talk);
} catch (cause) {
  talk.say(troubleLines(troubleOf(cause, 'demo')));
  process.exitCode = 1;
}
