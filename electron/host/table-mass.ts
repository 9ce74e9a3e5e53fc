import { z } from 'zod';

/** Grams as plain decimal text. */
export const Mass = z.string().regex(/^-?\d+(\.\d+)?$/);
