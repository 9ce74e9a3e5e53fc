import type { Clock } from './clock.ts';
import type { PanControls } from './instrument.ts';
import { normal, seeded } from './seeded.ts';

/** A pipette held over the vessel. */
export interface PipetteControls {
  /** Lets fall so many drops, one after the other. */
  addDrops(count: number): void;
  /** Squeezes out a steady stream until told to end it. */
  squeeze(on: boolean): void;
}

/** Mean mass of a drop, g, its spread, the time between drops, ms, and the stream of a squeezed 3 mL pipette, g/s. */
const DROP = 0.025;
const DROP_SPREAD = 0.08;
const BETWEEN_MS = 400;
const STREAM = 0.4;

/** A pipette over this pan. The same seed gives the same drops. */
export function pipetteOver(pan: PanControls, clock: Clock, seed: number): PipetteControls {
  const random = seeded(seed + 7);
  let waiting = 0;
  let end: (() => void) | null = null;
  const drop = (): void => {
    pan.addDrop(DROP * Math.max(0.3, 1 + DROP_SPREAD * normal(random)));
    waiting -= 1;
    if (waiting > 0) return;
    end?.();
    end = null;
  };
  return {
    addDrops(count) {
      if (count < 1) return;
      waiting += count;
      if (end !== null) return;
      end = clock.every(BETWEEN_MS, drop);
      drop();
    },
    squeeze(on) {
      pan.stream(on ? STREAM : 0);
    },
  };
}
