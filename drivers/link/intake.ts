import type { Observation } from '../../core/weighing/reading.ts';
import { Framer, type Piece } from '../frames/framer.ts';
import { Reader } from '../frames/reader.ts';
import { recognise } from '../frames/recognise.ts';
import type { Shape } from '../frames/shape.ts';
import { SHAPES } from '../frames/shapes.ts';
import { framing, type LineSettings } from './line-settings.ts';

/** So many of the last lines are looked at to tell a shape. */
const CAPTURE = 24;
/** A line under way at the opening would have gone on within this, ms, at any speed. */
const QUIET_MS = 300;

/** Of so many last lines so many refused ones are told; below the lower count all is well again. */
const LOOKED_AT = 30;
const MANY_REFUSED = 4;
const FEW_REFUSED = 2;
/** What the balance reports is told for so long, ms. */
const REPORT_MS = 4000;
const HARMED =
  'Several of its last lines came harmed and were refused; whole ones go on being read. Check plug and cable, and ' +
  'that line settings and output of the balance are as chosen.';

export interface IntakeOptions {
  /** Unit of the display as the person says it, for shapes that never send one. */
  readonly said?: string | null;
  /**
   * Time of the opening, for a balance that sends only when asked or on its key: what comes first after a quiet while
   * is then the beginning of a line.
   */
  readonly quietSince?: number;
}

/**
 * The way from the bytes of one opening to observations: framer, then the shape's reader. Without a shape it
 * gathers lines until the shape is recognised, and then reads them too. New at each opening.
 */
export class Intake {
  readonly #framer: Framer;
  readonly #said: string | null;
  #reader: Reader | null;
  #pieces: Piece[] = [];
  #advice: string | null = null;
  #bytesSince = 0;
  readonly #quietSince: number | null;
  /** Whether what came first is known to be the beginning of a line; null before anything came. */
  #whole: boolean | null = null;
  /** Of the last lines, 1 for each that was refused, and how many these are. */
  readonly #refused = new Uint8Array(LOOKED_AT);
  #place = 0;
  #count = 0;
  #harmed = false;
  #report: { readonly what: string; readonly at: number } | null = null;

  /** @param shape null when it is to be recognised */
  constructor(line: LineSettings, shape: Shape | null, { said = null, quietSince }: IntakeOptions = {}) {
    this.#framer = new Framer({ ...framing(line), givesFirst: true });
    this.#said = said;
    this.#reader = shape === null ? null : new Reader(shape, said);
    this.#quietSince = quietSince ?? null;
  }

  /** The shape in use, null until it is recognised. */
  get shape(): Shape | null {
    return this.#reader?.shape ?? null;
  }

  /** What hinders recognition and what to do, when it is hindered. */
  get advice(): string | null {
    return this.#advice;
  }

  /** Count of bytes taken since the last line that was understood. */
  get bytesSince(): number {
    return this.#bytesSince;
  }

  /**
   * Takes bytes that arrived at `at`. `understood` says whether a line among them was read (or, before the shape is
   * known, gathered).
   */
  take(bytes: Uint8Array, at: number): { observations: Observation[]; understood: boolean } {
    this.#bytesSince += bytes.length;
    this.#whole ??= this.#quietSince !== null && at - this.#quietSince >= QUIET_MS;
    const observations: Observation[] = [];
    let understood = false;
    for (const piece of this.#framer.push(bytes, at)) {
      if (!this.#whole && maybeTorn(piece, this.shape)) continue;
      if (this.#reader === null) {
        observations.push(...this.#gather(piece));
        understood ||= piece.kind === 'line';
      } else {
        const observation = this.#reader.read(piece);
        this.#judge(observation);
        observations.push(observation);
        understood ||= observation.kind !== 'refused';
      }
    }
    if (understood) this.#bytesSince = 0;
    return { observations, understood };
  }

  /** What is wrong although lines are read, at this time; null when nothing is. */
  warning(at: number): string | null {
    if (this.#report !== null && at - this.#report.at < REPORT_MS) return this.#report.what;
    return this.#harmed ? HARMED : null;
  }

  #judge(observation: Observation): void {
    const { kind } = observation;
    if (kind === 'fault') this.#report = { what: observation.what, at: observation.at };
    const refused = kind === 'refused' ? 1 : 0;
    this.#count += refused - (this.#refused[this.#place] ?? 0);
    this.#refused[this.#place] = refused;
    this.#place = (this.#place + 1) % LOOKED_AT;
    this.#harmed = this.#count >= (this.#harmed ? FEW_REFUSED : MANY_REFUSED);
  }

  /** Gathers a line; once the shape is told, gives what the gathered lines say. */
  #gather(piece: Piece): Observation[] {
    this.#pieces = [...this.#pieces.slice(1 - CAPTURE), piece];
    const lines = this.#pieces.map((one) => (one.kind === 'line' ? one.text : one.raw));
    const found = recognise(lines, SHAPES);
    if (found.kind === 'shape') {
      const reader = new Reader(found.shape, this.#said);
      const observations = this.#pieces.map((one) => reader.read(one));
      this.#reader = reader;
      this.#pieces = [];
      this.#advice = null;
      return observations;
    }
    if (found.kind === 'ask') this.#advice = found.ask;
    else if (found.kind === 'none') this.#advice = `${found.why}. Try other line settings.`;
    return [];
  }
}

/** The first piece after an opening counts only with a beginning that shows it whole. */
function maybeTorn(piece: Piece, shape: Shape | null): boolean {
  if (piece.kind !== 'line' || piece.first !== true) return false;
  const shapes = shape === null ? SHAPES : [shape];
  return !shapes.some((one) => one.begins?.test(piece.text));
}
