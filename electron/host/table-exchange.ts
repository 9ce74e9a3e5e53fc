import { z } from 'zod';
import { BRING_IN_CALLS } from './table-bring-in.ts';
import { HAND_OUT_CALLS } from './table-hand-out.ts';

const Nothing = z.object({});
const call = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

/** How the workshop stands at the first start and after. */
export const WorkshopState = z.object({
  /** Neither a material nor a formula is there. */
  empty: z.boolean(),
  /** It is the demo workshop. */
  demo: z.boolean(),
  batches: z.number(),
  /** The demo is set aside at the next start, and an empty workshop takes its place. */
  emptyNext: z.boolean(),
});

/** What a window may ask about bringing lists in and handing them out. */
export const EXCHANGE_CALLS = {
  ...BRING_IN_CALLS,
  ...HAND_OUT_CALLS,
  'workshop.state': call(Nothing, WorkshopState),
  /** Loads the demo into an empty workshop, and chooses the simulated balance for the bench. */
  'workshop.demo': call(Nothing, WorkshopState),
  /** Has an empty workshop take the place of the demo at the next start; `store.restore-forget` takes it back. */
  'workshop.start-empty': call(Nothing, WorkshopState),
} as const;
