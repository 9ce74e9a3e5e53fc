/** Two clocks of one machine, milliseconds. */
export interface Clocks {
  /** The time of day, which goes on while the machine sleeps, and can be set. */
  wall(): number;
  /** Time since some start, which cannot be set; on most systems it stands still while the machine sleeps. */
  steady(): number;
}

export const MACHINE_CLOCKS: Clocks = { wall: Date.now, steady: () => performance.now() };

/** The clocks part by more than this only in sleep, or when the time of day is set. */
const PARTED_MS = 1500;
/** A program that looks several times a second and did not for so long has stood still. */
const STOOD_STILL_MS = 3000;

/**
 * Notices that this machine slept, or that the program stood still: what waits in the port's buffers afterwards is of
 * no known age. Ask it several times a second, and before bytes are taken.
 */
export class Wakeful {
  readonly #clocks: Clocks;
  #wall: number;
  #steady: number;

  constructor(clocks: Clocks = MACHINE_CLOCKS) {
    this.#clocks = clocks;
    this.#wall = clocks.wall();
    this.#steady = clocks.steady();
  }

  /** How long it was away since it was last asked, ms; null when it was not. */
  look(): number | null {
    const wall = this.#clocks.wall();
    const steady = this.#clocks.steady();
    const byWall = wall - this.#wall;
    const bySteady = steady - this.#steady;
    this.#wall = wall;
    this.#steady = steady;
    const away = Math.abs(byWall - bySteady) > PARTED_MS || bySteady > STOOD_STILL_MS;
    return away ? Math.max(byWall, bySteady, 0) : null;
  }
}

/** Why a link is opened anew after `away` ms, in words. */
export function wokenWords(away: number, what: string): string {
  const seconds = Math.round(away / 1000);
  const long = seconds < 120 ? `${seconds} s` : `${Math.round(seconds / 60)} min`;
  return (
    `This computer slept, stood still or had its clock set, for about ${long} in all. ` +
    `The connection to ${what} is opened anew; nothing that came in between is read.`
  );
}
