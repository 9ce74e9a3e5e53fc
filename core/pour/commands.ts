import type { Lot, Material } from '../formula/types.ts';
import type { Settled } from '../weighing/settling.ts';
import type { ChoiceKind } from './events.ts';

/** How a bottle was told to be the right one. */
export type Confirmation = 'by eye' | 'by scan' | 'by script' | 'from a sheet';

/**
 * What the person, or the stream of readings, asks of a batch. `settled` is the reading at rest at this moment,
 * null while it moves.
 */
export type PourCommand =
  | { readonly type: 'settled'; readonly settled: Settled }
  | {
      readonly type: 'confirm-vessel';
      /** The vessel stands on the pan and the display was tared: a settled zero is then its gross. */
      readonly tared?: boolean;
      readonly settled: Settled | null;
    }
  | {
      readonly type: 'confirm-bottle';
      readonly how: Confirmation;
      /** Code read from the bottle; absent when confirmed by eye. */
      readonly lot?: string | undefined;
      readonly settled: Settled | null;
    }
  | { readonly type: 'accept-under'; readonly settled: Settled | null }
  /** What rose since the last capture is the next bottle, poured before it was said; `stood` rested until then. */
  | { readonly type: 'was-next'; readonly stood: Settled | null }
  | {
      readonly type: 'choose';
      readonly choice: ChoiceKind;
      /** Id of the batch that begins this one anew; wanted by the choice `again`. */
      readonly next?: string;
    }
  | { readonly type: 'void'; readonly reason: string }
  | { readonly type: 'skip'; readonly reason: string; readonly settled: Settled | null }
  /** Skips all that is left, with one reason, and goes on to closing. */
  | { readonly type: 'end-early'; readonly reason: string; readonly settled: Settled | null }
  /** A line that the plan does not have, from a lot that holds `materials`. */
  | {
      readonly type: 'add-line';
      readonly lot: Lot;
      readonly materials: readonly Material[];
      readonly reason: string;
    }
  /** A caution was read and heeded; `also` the others that stood beside it. */
  | { readonly type: 'heed'; readonly caution: string; readonly also?: readonly string[] }
  /** Something in the readings that is no pour: from what stood before, to where it went. */
  | {
      readonly type: 'jump';
      readonly jump: 'lifted' | 're-zeroed' | 'knock';
      readonly from: string;
      readonly to: string;
      /** The reading moved as it happened: `from` is no figure at rest. */
      readonly moving: boolean;
    }
  /** The vessel that seems off stands there: the display was zeroed. */
  | { readonly type: 'was-zeroed'; readonly settled: Settled | null }
  /** The first reading at rest after a lost balance or a stop of the program; minutes since. */
  | { readonly type: 'recheck'; readonly settled: Settled; readonly minutes: number }
  /** Nothing was poured while the gross changed: it is read anew. */
  | { readonly type: 're-read'; readonly settled: Settled | null }
  | { readonly type: 'pause'; readonly why: string; readonly settled?: Settled | null }
  | {
      readonly type: 'resume';
      readonly settled?: Settled | null;
      /** Minutes since the pause began. */
      readonly minutes?: number;
      /** The pause was a break of so many minutes. */
      readonly rested?: number;
    }
  /** First half of the closing check: the gross, before the vessel is lifted. */
  | { readonly type: 'weigh-off'; readonly settled: Settled | null }
  /** Something worth keeping that changes nothing in the batch. */
  | { readonly type: 'note'; readonly what: string; readonly detail: string }
  | { readonly type: 'balance-lost'; readonly why: string }
  | { readonly type: 'balance-back' }
  | { readonly type: 'close'; readonly settled: Settled | null }
  | { readonly type: 'abandon'; readonly reason: string };

/** A command that does not fit the moment: what, and what to do next. The batch stays as it was. */
export class PourRefusal extends Error {
  readonly next: string;
  constructor(what: string, next: string) {
    super(what);
    this.name = 'PourRefusal';
    this.next = next;
  }
}
