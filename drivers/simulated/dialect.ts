import type { Display } from './indicator.ts';

/** What a command that came over the wire asks of the simulated balance. */
export type Ask = 'now' | 'when-stable' | 'stream' | 'stop-stream' | 'identify' | 'tare' | 'zero' | 'unknown';

/** The simulated balance's side of one line shape: what it sends and which commands it hears. */
export interface Dialect {
  /** Name of the shape in drivers/frames/shapes.ts that reads it. */
  readonly shape: string;
  /** Unit texts as they stand in the line. */
  readonly units: { readonly g: string; readonly ct?: string; readonly pcs?: string };
  /**
   * One reading with its terminator; "" where the shape withholds it.
   * @param echo the command it answers, null for the stream
   */
  say(display: Display, unit: string, echo: string | null): string;
  /** Commands without terminator, as they come. */
  readonly hears: Readonly<Record<string, Ask>>;
  /** Commands of one letter that need no terminator. */
  readonly bare?: string;
  /** Sent when tare or zero is done, refused because the pan moves, and for an unknown command; "" for nothing. */
  readonly done: string;
  readonly refused: string;
  readonly unknown: string;
  /** The answer to a request for its identity, where the shape has one. */
  readonly identity?: string;
}
