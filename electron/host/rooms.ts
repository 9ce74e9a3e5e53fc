import type { Benches, Place } from './benches.ts';
import type { CommandBeside } from './commanding.ts';
import { limitsFor } from './limits.ts';
import type { PlanningPlace } from './planning.ts';
import type { Store } from './store/store.ts';
import type { CallName, Input, Output } from './table.ts';

/** What the desktop around this host can do beyond every window. */
export interface Capabilities {
  /** Asks for a place with the desktop's own dialog; null when the person declines. */
  readonly saveDialog: ((suggested: string) => Promise<string | null>) | null;
  readonly menu: boolean;
}

/** One answer for each call of the typed table. */
export type Handlers = { readonly [K in CallName]: (input: Input<K>) => Output<K> | Promise<Output<K>> };

/** What the handlers of one bench work with. */
export interface Rooms extends Place {
  readonly store: Store;
  readonly benches: Benches;
  readonly capabilities: Capabilities;
}

/** What a command of the window may speak of: the organ, and the batch as it stands. */
export const besideOf = ({ store, bench }: Rooms): CommandBeside => ({
  state: bench.batch?.state ?? null,
  workshop: () => store.workshop.read(),
});

/** Where plans are made at this moment. */
export const placeOf = ({ store, bench }: Rooms): PlanningPlace => ({
  workshop: store.workshop.read(),
  limits: limitsFor(bench.live.reading),
  today: new Date().toISOString().slice(0, 10),
});

/** The balance of a bench as the record names it. */
export const balanceFacts = ({ bench }: Rooms): { readonly name: string } => ({
  name: bench.balance?.what ?? 'no balance yet',
});
