import type { Cell } from './physics.ts';

/** What a hand can do at the simulated balance. Masses are grams. */
export interface PanControls {
  /** One drop into the vessel; it strikes as if fallen for `fallS` seconds (0.07 by default, about 2.5 cm). */
  addDrop(g: number, fallS?: number): void;
  /** A steady stream in g/s from now on; 0 ends it. */
  stream(gPerS: number): void;
  /** Puts a vessel on the pan: an empty one of `g`, or without `g` the one that was lifted, with what is in it. */
  putVessel(g?: number): void;
  liftVessel(): void;
  /** Takes liquid out of the vessel, at most what is in it. */
  withdraw(g: number): void;
  /** A force that is no mass, g: a hand on the pan, a cable; 0 ends it. */
  touch(g: number): void;
  /** The truth: what stands on the pan, whatever the balance shows. */
  truth(): { readonly vessel: number; readonly contents: number; readonly onPan: boolean };
}

const DEFAULT_VESSEL = 50;

/** The pan over this cell; `move` brings the cell up to the present first. */
export function pan(cell: Cell, move: () => void): PanControls {
  let vessel = DEFAULT_VESSEL;
  let contents = 0;
  let onPan = false;
  const contentsNow = (): number => (onPan ? Math.max(0, cell.load - vessel) : contents);
  return {
    addDrop(g, fallS = 0.07) {
      move();
      cell.drop(g, fallS);
    },
    stream(gPerS) {
      move();
      cell.flow = gPerS;
    },
    putVessel(g) {
      move();
      if (g !== undefined) {
        vessel = g;
        contents = 0;
      } else contents = contentsNow();
      cell.load = vessel + contents;
      onPan = true;
    },
    liftVessel() {
      move();
      contents = contentsNow();
      cell.load = 0;
      cell.flow = 0;
      onPan = false;
    },
    withdraw(g) {
      move();
      if (onPan) cell.load -= Math.min(g, contentsNow());
    },
    touch(g) {
      move();
      cell.touch = g;
    },
    truth() {
      move();
      return { vessel, contents: contentsNow(), onPan };
    },
  };
}
