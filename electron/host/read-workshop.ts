import { z } from 'zod';
import { WrittenFormula } from '../../core/formula/written.ts';
import { Formula, Lot, Material } from '../../core/record/event-schema.ts';
import type { Workshop } from './store/workshop.ts';
import { HostTrouble } from './trouble.ts';

const WorkshopFile = z.strictObject({
  note: z.string(),
  materials: z.array(Material),
  lots: z.array(Lot),
  formulas: z.array(Formula),
  /** Formulas as a person writes them, accords before those that are made with them. */
  written: z.array(WrittenFormula),
});

/** A workshop with formulas as they are written besides. */
export interface WrittenWorkshop extends Workshop {
  readonly written: readonly WrittenFormula[];
}

/** Reads a workshop from parsed JSON. @throws HostTrouble naming the first field that is wrong */
export function readWorkshop(json: unknown, name: string): WrittenWorkshop {
  const parsed = WorkshopFile.safeParse(json);
  if (parsed.success) {
    const { note: _, ...workshop } = parsed.data;
    return workshop;
  }
  const first = parsed.error.issues[0];
  throw new HostTrouble(
    `The ${name} is not as it should be: ${first?.path.join('.') ?? ''} ${first?.message ?? ''}`,
    name,
    'Nothing was taken from it.',
  );
}
