import type { Balance } from '../../drivers/link/balance.ts';
import { serialBalance, tryPort } from '../../drivers/link/serial.ts';
import { type Clock, realClock } from '../../drivers/simulated/clock.ts';
import type { Instrument } from '../../drivers/simulated/instrument.ts';
import { simulatedBalance } from '../../drivers/simulated/simulated-balance.ts';
import { Hand } from './hand.ts';
import type { PourLine } from './pour-line.ts';

/** The balance of a console pour, and the hand at it where it is simulated. */
export interface Rig {
  readonly balance: Balance;
  /** Milliseconds since 1970, on the clock that the balance's readings are stamped by. */
  now(): number;
  /** Tells the hand an output line; a balance with a person at it needs no telling. */
  hear(line: PourLine): void;
  close(): Promise<void>;
}

/** Time that runs `speed` times as fast from now on: a whole bench in it behaves as ever, only sooner. */
export function fastClock(speed: number): Clock {
  const start = Date.now();
  return {
    now: () => start + (Date.now() - start) * speed,
    every: (ms, act) => realClock.every(ms / speed, act),
    sleep: (ms) => realClock.sleep(ms / speed),
  };
}

export interface SerialRigOptions {
  readonly path: string;
  readonly shape: string;
  readonly line: string;
}

/** A balance on a port. @throws LinkTrouble when the port cannot be opened or its settings are wrong */
export async function serialRig(options: SerialRigOptions): Promise<Rig> {
  const balance = serialBalance(options);
  await tryPort(options.path, options.line);
  return { balance, now: Date.now, hear: () => {}, close: () => balance.stop() };
}

/** The simulated balance with a simulated hand. @param slip see HandOptions */
export function simulatedRig(speed: number, slip?: { line: string; drops: number }): Rig {
  const clock = fastClock(speed);
  const balance = simulatedBalance({ clock });
  const hand = handAt(balance.instrument, clock, slip);
  return {
    balance,
    now: clock.now,
    hear: (line) => hand.hear(line),
    close: async () => {
      hand.stop();
      await balance.stop();
    },
  };
}

/** A hand at an instrument, on the same clock. */
export function handAt(instrument: Instrument, clock: Clock, slip?: { line: string; drops: number }): Hand {
  return new Hand({ instrument, clock, ...(slip === undefined ? {} : { slip }) });
}
