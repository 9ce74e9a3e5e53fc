import { computed, signal } from '@preact/signals';
import type { Output } from '../../electron/host/table.ts';
import { ask } from './host.ts';
import { firstOf, indexOf, lotByCode, type Narrowing, narrowed, WIDE } from './organ-search.ts';
import { fetchShelves, shelves } from './workshop.ts';

/** So many materials are drawn at first, and so many more each time. */
const DRAWN = 60;

/** What the shelves are narrowed to; it stays while other leaves are open. */
export const narrowing = signal<Narrowing>(WIDE);
const drawn = signal(DRAWN);

const index = computed(() => indexOf(shelves.value ?? []));
export const found = computed(() => narrowed(index.value, narrowing.value));
/** What is drawn of what was found, and how many materials follow. */
export const onShow = computed(() => firstOf(found.value, drawn.value));

export function narrow(part: Partial<Narrowing>): void {
  narrowing.value = { ...narrowing.value, ...part };
  drawn.value = DRAWN;
}

export function drawMore(): void {
  drawn.value += DRAWN;
}

/**
 * The lot that what is typed leads to: by its whole code, or as the only one found; null where there is none. A scanner may
 * be quicker than the shelves: they are waited for.
 */
export async function typedLot(): Promise<string | null> {
  if (shelves.value === null) await fetchShelves();
  const byCode = lotByCode(index.value, narrowing.value.words);
  if (byCode !== null) return byCode;
  const { lots, shelves: left } = found.value;
  const only = left.flatMap(({ materials }) => materials.flatMap((one) => one.lots))[0];
  return lots === 1 && only !== undefined ? only.code : null;
}

/** Every lot that is not finished. */
export const standing = computed(() =>
  (shelves.value ?? []).flatMap(({ materials }) =>
    materials.flatMap(({ lots }) => lots.filter((lot) => !lot.finished)),
  ),
);
/** Lots that are running out, and lots past their date or soon to be. */
export const runningOut = computed(() => standing.value.filter((lot) => lot.low !== null));
export const expiring = computed(() =>
  standing.value
    .filter((lot) => lot.expiry !== null)
    .sort((a, b) => ((a.bestBefore ?? '') < (b.bestBefore ?? '') ? -1 : 1)),
);
/** How many lots want something done, each counted once. */
export const wanting = computed(
  () => standing.value.filter((lot) => lot.low !== null || lot.expiry !== null).length,
);

/** What forms choose from; null until the host has told it. */
export const choices = signal<Output<'organ.choices'> | null>(null);

export async function fetchChoices(): Promise<void> {
  const told = await ask('organ.choices', {});
  if (told !== null) choices.value = told;
}
