import type { Benches, Place } from './benches.ts';
import { factsOf, knownOf } from './care/standing.ts';
import type { CommandBeside } from './commanding.ts';
import type { Document } from './documents/document.ts';
import type { Files } from './exchange/files.ts';
import type { PlanningPlace } from './planning.ts';
import type { Practising } from './practice/practising.ts';
import type { Store } from './store/store.ts';
import type { Workshop } from './store/workshop.ts';
import type { CallName, Input, Output } from './table.ts';

/** What the desktop around this host can do beyond every window. */
export interface Capabilities {
  /** Asks for a place with the desktop's own dialog; null when the person declines. */
  readonly saveDialog: ((suggested: string) => Promise<string | null>) | null;
  readonly menu: boolean;
  /** Shows a PDF where it can be printed; absent where nothing here shows one. */
  readonly showPdf?: (file: Document) => Promise<ShownPdf>;
}

/** Where a PDF is shown: an address for the window to open, or the desktop's own viewer; and what to say of it. */
export interface ShownPdf {
  readonly address: string | null;
  readonly told: string;
}

/** One answer for each call of the typed table. */
export type Handlers = { readonly [K in CallName]: (input: Input<K>) => Output<K> | Promise<Output<K>> };

/** What the handlers of one bench work with. */
export interface Rooms extends Place {
  readonly store: Store;
  readonly benches: Benches;
  readonly practising: Practising;
  readonly capabilities: Capabilities;
  readonly files: Files;
}

/** The workshop as plans and pours see it: a lot that is finished stands on no shelf. */
function onShelf({ store }: Rooms): { readonly workshop: Workshop; readonly finished: ReadonlySet<string> } {
  const workshop = store.workshop.read();
  const lots = workshop.lots.filter((lot) => lot.finished === undefined);
  const finished = workshop.lots.filter((lot) => lot.finished !== undefined).map((lot) => lot.code);
  return { workshop: { ...workshop, lots }, finished: new Set(finished) };
}

/** What a command of the window may speak of: the organ, and the batch as it stands. */
export const besideOf = (rooms: Rooms): CommandBeside => ({
  state: rooms.bench.batch?.state ?? null,
  workshop: () => onShelf(rooms).workshop,
});

/** Where plans are made at this moment. */
export const placeOf = (rooms: Rooms): PlanningPlace => ({
  ...onShelf(rooms),
  limits: knownOf(rooms).limits,
  today: new Date().toISOString().slice(0, 10),
});

/** The balance of a bench as the record names it, with how it stood when it was last checked. */
export const balanceFacts = (rooms: Rooms): ReturnType<typeof factsOf> => factsOf(rooms, Date.now());
