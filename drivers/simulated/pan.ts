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
  /** Puts a weight of `g` on the pan instead of whatever stands there. */
  putWeight(g: number, place?: PanPlace): void;
  /** From now on every load is shown too heavy by this share: a balance that was adjusted wrongly. */
  adjust(share: number): void;
  /** Takes liquid out of the vessel, at most what is in it. */
  withdraw(g: number): void;
  /** A force that is no mass, g: a hand on the pan, a cable; 0 ends it. */
  touch(g: number): void;
  /** The truth: what stands on the pan, whatever the balance shows. */
  truth(): { readonly vessel: number; readonly contents: number; readonly onPan: boolean };
}

const DEFAULT_VESSEL = 50;

/** Where on the pan something stands. */
export const PAN_PLACES = ['centre', 'front left', 'front right', 'back right', 'back left'] as const;
export type PanPlace = (typeof PAN_PLACES)[number];

/** Share by which a load off the middle is shown wrong: about one step of 0.01 g at a third of 200 g. */
const OFF_CENTRE: Readonly<Record<PanPlace, number>> = {
  centre: 0,
  'front left': 1.2e-4,
  'front right': -0.7e-4,
  'back right': -1.1e-4,
  'back left': 0.8e-4,
};

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
      cell.offCentre = 0;
      onPan = true;
    },
    liftVessel() {
      move();
      contents = contentsNow();
      cell.load = 0;
      cell.flow = 0;
      onPan = false;
    },
    putWeight(g, place = 'centre') {
      move();
      vessel = g;
      contents = 0;
      cell.load = g;
      cell.flow = 0;
      cell.offCentre = OFF_CENTRE[place];
      onPan = true;
    },
    adjust(share) {
      move();
      cell.span = share;
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
