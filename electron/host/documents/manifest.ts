import { createHash } from 'node:crypto';
import { z } from 'zod';
import { Hash } from '../../../core/record/event-schema.ts';

export const MANIFEST_FORMAT = 'pourwright batch folder 1';
export const MANIFEST_NAME = 'manifest.json';

/** What a batch folder holds, each file with its size in bytes and the SHA-256 of its bytes. */
export const Manifest = z.strictObject({
  format: z.literal(MANIFEST_FORMAT),
  batch: z.string(),
  name: z.string(),
  head: Hash,
  /** How numbers stand in the CSV files. */
  decimal: z.enum(['point', 'comma']),
  files: z.array(z.strictObject({ name: z.string(), bytes: z.int().min(0), sha256: Hash })),
});
export type Manifest = z.infer<typeof Manifest>;

export const bytesHash = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
