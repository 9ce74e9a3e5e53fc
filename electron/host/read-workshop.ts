import { z } from 'zod';
import { Formula, Lot, Material } from '../../core/record/event-schema.ts';
import type { Workshop } from './store/workshop.ts';
import { HostTrouble } from './trouble.ts';

const WorkshopFile = z.strictObject({
  note: z.string(),
  materials: z.array(Material),
  lots: z.array(Lot),
  formulas: z.array(Formula),
});

/** Reads a workshop from parsed JSON. @throws HostTrouble naming the first field that is wrong */
export function readWorkshop(json: unknown, name: string): Workshop {
  const parsed = WorkshopFile.safeParse(json);
  if (parsed.success) {
    const { materials, lots, formulas } = parsed.data;
    return { materials, lots, formulas };
  }
  const first = parsed.error.issues[0];
  throw new HostTrouble(
    `The ${name} is not as it should be: ${first?.path.join('.') ?? ''} ${first?.message ?? ''}`,
    name,
    'Nothing was taken from it.',
  );
}
