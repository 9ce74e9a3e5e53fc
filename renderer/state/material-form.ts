import { signal } from '@preact/signals';
import type { Input, Output, Trouble } from '../../electron/host/table.ts';
import type { FieldProblem } from './field-problems.ts';
import { askReply } from './host.ts';
import { latest } from './latest.ts';
import { fetchShelves } from './workshop.ts';

export type MaterialForm = Input<'organ.put-material'>['form'];

const BLANK: MaterialForm = {
  name: '',
  otherNames: '',
  note: '',
  family: '',
  kind: 'neat',
  solid: false,
  cas: '',
  density: '',
  shelfLife: '',
  cautions: '',
  limitPercent: '',
  limitDocument: '',
  limitDate: '',
  constituents: [],
};

/** The material that is open: as it was kept, as it is typed now, and what is wrong with that. */
export interface OpenMaterial {
  /** Null for a new one. */
  readonly key: string | null;
  readonly kept: Output<'organ.material'> | null;
  readonly form: MaterialForm;
  readonly problems: readonly FieldProblem[];
  readonly trouble: Trouble | null;
  /** It was kept as it stands. */
  readonly saved: boolean;
}

export const openMaterial = signal<OpenMaterial | null>(null);

const opening = latest();

export function newMaterial(): void {
  opening();
  if (openMaterial.value?.key !== null || openMaterial.value.saved)
    openMaterial.value = { key: null, kept: null, form: BLANK, problems: [], trouble: null, saved: false };
}

/** Opens a material; what is typed for another is put away. */
export async function fetchMaterial(key: string): Promise<void> {
  openMaterial.value = null;
  const wantedStill = opening();
  const reply = await askReply('organ.material', { key });
  if (!wantedStill()) return;
  const form = reply.ok ? reply.value.form : BLANK;
  const trouble = reply.ok ? null : reply.trouble;
  openMaterial.value = {
    ...{ key, kept: reply.ok ? reply.value : null },
    ...{ form, problems: [], trouble, saved: false },
  };
}

export function typeMaterial(part: Partial<MaterialForm>): void {
  const now = openMaterial.value;
  if (now !== null) openMaterial.value = { ...now, form: { ...now.form, ...part }, saved: false };
}

/** Keeps what is typed. @returns the key of the material; null where something is wrong, which is then told */
export async function saveMaterial(): Promise<string | null> {
  const now = openMaterial.value;
  if (now === null) return null;
  const reply = await askReply('organ.put-material', { key: now.key, form: now.form });
  const open = openMaterial.value;
  if (open === null || open.key !== now.key) return null;
  if (!reply.ok) {
    openMaterial.value = { ...open, trouble: reply.trouble, saved: false };
    return null;
  }
  const { problems, saved } = reply.value;
  openMaterial.value = { ...open, problems, trouble: null, saved: saved !== null };
  if (saved !== null) await fetchShelves();
  return saved;
}
