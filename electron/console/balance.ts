import { symlinkSync, unlinkSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { Command, Option } from 'commander';
import { DIALECTS } from '../../drivers/simulated/dialects.ts';
import { FAULTS, type FaultName, faultNamed } from '../../drivers/simulated/faults.ts';
import { figureText } from '../../drivers/simulated/indicator.ts';
import { Instrument } from '../../drivers/simulated/instrument.ts';
import { MODELS, ROOMS } from '../../drivers/simulated/physics.ts';
import { type ServedPort, servePty } from '../../drivers/simulated/pty.ts';
import { troubleOf } from '../host/trouble.ts';
import { processTalk, type Talk, troubleLines, untilEnded } from './talk.ts';

/** A simulated balance on a pseudo-terminal, for this and other programs; a hand works it from the keyboard. */

interface Flags {
  readonly shape: string;
  readonly line: string;
  readonly model: keyof typeof MODELS;
  readonly room: keyof typeof ROOMS;
  readonly rate: string;
  readonly seed: string;
  readonly link?: string;
  readonly fault?: string;
  readonly sends: keyof typeof SENDS;
}

/** When it sends: by itself, only when asked, or only on its print key. */
const SENDS = {
  always: {},
  asked: { streams: false },
  key: { streams: false, hears: false },
} as const;

const HELP = `vessel [g]      put an empty vessel on, or the one that was lifted
lift            lift the vessel
drop [g] [n]    let n drops of g fall, 0.025 and 1 by default
stream [g/s]    pour; 0 ends it
withdraw [g]    take out of the vessel
touch [g]       press on the pan; 0 ends it
print, tare, zero   its own keys
fault [name]    ${Object.keys(FAULTS).join(', ')}; "none" sets it right
show            what the display shows, and the truth
quit`;

class Bench {
  readonly #instrument: Instrument;
  readonly #flags: Flags;
  readonly #talk: Talk;
  #port: ServedPort | null = null;

  constructor(flags: Flags, talk: Talk) {
    this.#flags = flags;
    this.#talk = talk;
    this.#instrument = new Instrument({
      shape: flags.shape,
      model: MODELS[flags.model],
      room: ROOMS[flags.room],
      rateHz: Number(flags.rate),
      seed: Number(flags.seed),
      ...SENDS[flags.sends],
    });
  }

  /** Plugged in, and with the fault it was started with. @throws LinkTrouble for an unknown fault */
  async begin(): Promise<void> {
    const { fault } = this.#flags;
    const named = fault === undefined ? null : faultNamed(fault);
    await this.plug();
    if (named !== null) await this.#fault(named);
  }

  async plug(): Promise<void> {
    if (this.#port !== null) return;
    this.#port = await servePty(this.#instrument, this.#flags.line);
    if (this.#flags.link !== undefined) symlinkSync(this.#port.path, this.#flags.link);
    this.#talk.emit({
      port: this.#flags.link ?? this.#port.path,
      shape: this.#flags.shape,
      line: this.#flags.line,
    });
  }

  async unplug(): Promise<void> {
    const port = this.#port;
    this.#port = null;
    if (port === null) return;
    if (this.#flags.link !== undefined) unlinkSync(this.#flags.link);
    await port.close();
  }

  async end(): Promise<void> {
    await this.unplug();
    this.#instrument.stop();
  }

  /** One line from the keyboard. @throws LinkTrouble for an unknown fault */
  async obey(text: string): Promise<void> {
    const [word = '', first, second] = text.trim().split(/\s+/);
    const { controls } = this.#instrument;
    const number = (part: string | undefined, fallback: number): number => {
      const value = part === undefined ? fallback : Number(part);
      if (!Number.isFinite(value)) throw new RangeError(`"${part}" is not a number`);
      return value;
    };
    const acts: Record<string, () => void | Promise<void>> = {
      vessel: () => controls.putVessel(first === undefined ? undefined : number(first, 0)),
      lift: () => controls.liftVessel(),
      drop: () => {
        for (let n = number(second, 1); n > 0; n -= 1) controls.addDrop(number(first, 0.025));
      },
      stream: () => controls.stream(number(first, 0.5)),
      withdraw: () => controls.withdraw(number(first, 0.1)),
      touch: () => controls.touch(number(first, 1)),
      print: () => this.#instrument.press('print'),
      tare: () => this.#instrument.press('tare'),
      zero: () => this.#instrument.press('zero'),
      fault: () => this.#fault(first === undefined || first === 'none' ? null : faultNamed(first)),
      show: () => this.#show(),
      '': () => undefined,
    };
    const act = acts[word];
    if (act === undefined) this.#talk.say(HELP);
    else await act();
  }

  async #fault(fault: FaultName | null): Promise<void> {
    this.#instrument.setFault(fault);
    if (fault === 'unplug') await this.unplug();
    else await this.plug();
  }

  #show(): void {
    const { counts, decimals, range, stable } = this.#instrument.display;
    const figure = counts === null ? range : figureText(counts, decimals);
    this.#talk.emit({ display: figure, stable, truth: this.#instrument.controls.truth() });
  }
}

async function serve(flags: Flags, talk: Talk): Promise<void> {
  const bench = new Bench(flags, talk);
  const keyboard = createInterface({ input: process.stdin });
  try {
    await bench.begin();
    talk.say(`The balance runs until "quit" or Ctrl-C. Lines typed here work its pan:\n${HELP}`);
    const quit = new Promise<void>((resolve) => {
      keyboard.on('line', (text) => {
        if (text.trim() === 'quit') resolve();
        else
          bench
            .obey(text)
            .catch((error: unknown) => talk.say(troubleLines(troubleOf(error, 'the simulated balance'))));
      });
    });
    await Promise.race([quit, untilEnded(talk)]);
  } finally {
    keyboard.close();
    await bench.end();
  }
}

const talk = processTalk();
const program = new Command('balance')
  .description('a simulated balance on a pseudo-terminal that any program can open')
  .addOption(
    new Option('--shape <name>', 'line shape')
      .choices(DIALECTS.map((one) => one.shape))
      .default('comma-headed'),
  )
  .option('--line <settings>', 'line settings', '9600 8N1')
  .addOption(new Option('--model <type>', 'type of balance').choices(Object.keys(MODELS)).default('A'))
  .addOption(new Option('--room <kind>', 'draughts of the room').choices(Object.keys(ROOMS)).default('quiet'))
  .addOption(
    new Option('--rate <hz>', 'display updates a second').choices(['1', '2', '5', '10', '20']).default('10'),
  )
  .addOption(
    new Option('--sends <when>', 'sends always, only when asked, or only on its print key')
      .choices(Object.keys(SENDS))
      .default('always'),
  )
  .option('--fault <name>', `what is wrong with it from the start: ${Object.keys(FAULTS).join(', ')}`)
  .option('--seed <n>', 'the same seed repeats the same run', '1')
  .option('--link <path>', 'a name for the port that lasts when it is unplugged and plugged in again')
  .action((flags: Flags) => serve(flags, talk));

try {
  await program.parseAsync();
} catch (error) {
  talk.say(troubleLines(troubleOf(error, 'the simulated balance')));
  process.exitCode = 1;
}
