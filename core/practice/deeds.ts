/**
 * What a learner did in a lesson besides what the record of a pour holds, each with its moment in ms. Only ever added
 * to; events of the pour itself stay in the journal.
 */
export type Deed = { readonly at: number } & (
  | { readonly type: 'begun' }
  /** A guided step was said to be done; the display then, g, null where it showed nothing. */
  | { readonly type: 'stepped'; readonly step: string; readonly g: string | null }
  /** The learner took this figure. */
  | { readonly type: 'read'; readonly step: string; readonly g: string }
  | { readonly type: 'counted'; readonly step: string; readonly drops: number }
  | {
      readonly type: 'answered';
      readonly step: string;
      readonly given: string;
      /** What it comes to by the figures the learner read. */
      readonly wanted: string;
      readonly right: boolean;
    }
  | { readonly type: 'pressed'; readonly key: 'tare' | 'zero' }
  /** Something was asked for that did not fit the moment. */
  | { readonly type: 'refused'; readonly did: string; readonly why: string; readonly moving: boolean }
  /** A bottle was taken from the shelf that the step does not name. */
  | {
      readonly type: 'wrong-bottle';
      readonly lot: string;
      readonly wanted: string;
      readonly planned: boolean;
    }
  | { readonly type: 'fresh-pipette' }
  /** The lesson itself let so many drops too many fall. */
  | { readonly type: 'slipped'; readonly line: string; readonly drops: number }
  | { readonly type: 'ended' }
);

/** A step that does not fit the moment: what, and what to do next. Nothing has changed. */
export class PracticeRefusal extends Error {
  readonly next: string;
  constructor(what: string, next: string) {
    super(what);
    this.name = 'PracticeRefusal';
    this.next = next;
  }
}
