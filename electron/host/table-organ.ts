import { z } from 'zod';
import * as plans from './table-plans.ts';

const Nothing = z.object({});

/** What a window may ask about materials, lots and stock. */
export const ORGAN_CALLS = {
  'organ.shelves': { input: Nothing, output: z.array(plans.ShelfView) },
} as const;
