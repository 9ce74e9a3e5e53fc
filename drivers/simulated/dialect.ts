import type { Display } from './indicator.ts';

/** What a command that came over the wire asks of the simulated balance. */
export type Asked =
  | { readonly do: 'now' | 'when-stable' | 'stream' | 'stop-stream' | 'identify' }
  | { readonly do: 'tare' | 'zero' }
  | { readonly do: 'unknown' };

/** The simulated balance's side of one line shape: what it sends and which commands it hears. */
export interface Dialect {
  /** Name of the shape in drivers/frames/shapes.ts that reads it. */
  readonly shape: string;
  /** One reading with its terminator. */
  say(display: Display): string;
  /** A command without its terminator. */
  hear(command: string): Asked;
  /** Commands of one letter that have no terminator. */
  readonly bare?: string;
  /** Sent when tare or zero is done, refused because the pan moves, and for an unknown command; "" for nothing. */
  readonly done: string;
  readonly refused: string;
  readonly unknown: string;
  /** The answer to a request for its identity, where the shape has one. */
  readonly identity?: string;
}
