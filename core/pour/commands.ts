import type { Settled } from '../weighing/settling.ts';
import type { ChoiceKind } from './events.ts';

/** How a bottle was told to be the right one. */
export type Confirmation = 'by eye' | 'by scan' | 'by script';

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
  | {
      readonly type: 'choose';
      readonly choice: ChoiceKind;
      /** Id of the batch that begins this one anew; wanted by the choice `again`. */
      readonly next?: string;
    }
  | { readonly type: 'void'; readonly reason: string }
  | { readonly type: 'skip'; readonly reason: string; readonly settled: Settled | null }
  | { readonly type: 'pause'; readonly why: string }
  | { readonly type: 'resume' }
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
