import { signal } from '@preact/signals';
import type { Input, Output, Trouble } from '../../electron/host/table.ts';
import type { FieldProblem } from './field-problems.ts';
import { askReply } from './host.ts';
import { latest } from './latest.ts';
import { operator } from './preferences.ts';
import { fetchShelves } from './workshop.ts';

export type LotForm = Input<'organ.put-lot'>['form'];
export type Contents = LotForm['contents'];
type Sheet = Output<'organ.lot'>;

const NOTHING: Contents = { kind: 'neat', material: '', percent: '', u: '', solvent: '', parts: [] };
const BLANK: LotForm = {
  code: '',
  name: '',
  contents: NOTHING,
  bottle: '',
  glass: '',
  empty: '',
  supplierLot: '',
  received: '',
  opened: '',
  bestBefore: '',
  price: '',
  place: '',
};

/** The lot that is open: as it is kept, as it is typed now, and what is wrong with that. */
export interface OpenLot {
  /** Null for a new one. */
  readonly code: string | null;
  readonly sheet: Sheet | null;
  readonly form: LotForm;
  /** What a new lot holds, g, as typed. */
  readonly stock: string;
  readonly problems: readonly FieldProblem[];
  readonly trouble: Trouble | null;
  readonly saved: boolean;
}

export const openLot = signal<OpenLot | null>(null);

const opened = (sheet: Sheet): OpenLot => ({
  code: sheet.code,
  sheet,
  form: sheet.form,
  ...{ stock: '', problems: [], trouble: null, saved: false },
});

const opening = latest();

/** A new lot of a material, under a code that is free. */
export async function newLot(material: string, name: string): Promise<void> {
  openLot.value = null;
  const wantedStill = opening();
  const reply = await askReply('organ.free-code', { material });
  if (!wantedStill()) return;
  const form = {
    ...BLANK,
    name,
    code: reply.ok ? reply.value.code : '',
    contents: { ...NOTHING, material },
  };
  const trouble = reply.ok ? null : reply.trouble;
  openLot.value = { code: null, sheet: null, form, stock: '', problems: [], trouble, saved: false };
}

export async function fetchLot(code: string): Promise<void> {
  const wantedStill = opening();
  openLot.value = null;
  const reply = await askReply('organ.lot', { code });
  if (!wantedStill()) return;
  openLot.value = reply.ok
    ? opened(reply.value)
    : {
        ...{ code, sheet: null, form: BLANK, stock: '' },
        ...{ problems: [], trouble: reply.trouble, saved: false },
      };
}

export function typeLot(part: Partial<LotForm>): void {
  const now = openLot.value;
  if (now !== null) openLot.value = { ...now, form: { ...now.form, ...part }, saved: false };
}

export const typeContents = (part: Partial<Contents>): void =>
  typeLot({ contents: { ...(openLot.value?.form.contents ?? NOTHING), ...part } });

export function typeStock(stock: string): void {
  const now = openLot.value;
  if (now !== null) openLot.value = { ...now, stock };
}

/** Keeps what is typed. @returns the code of the lot; null where something is wrong, which is then told */
export async function saveLot(): Promise<string | null> {
  const now = openLot.value;
  if (now === null) return null;
  const { code, form, stock } = now;
  const reply = await askReply('organ.put-lot', code === null ? { code, form, stock } : { code, form });
  if (!reply.ok) {
    openLot.value = { ...now, trouble: reply.trouble, saved: false };
    return null;
  }
  const { problems, saved } = reply.value;
  openLot.value = { ...now, problems, trouble: null, saved: false };
  if (saved === null) return null;
  await fetchShelves();
  if (code !== null) {
    await refresh(saved);
    const fresh = openLot.value;
    if (fresh !== null) openLot.value = { ...fresh, saved: true };
  }
  return saved;
}

/** The sheet as the host has it now. */
async function refresh(code: string): Promise<void> {
  const reply = await askReply('organ.lot', { code });
  if (reply.ok && openLot.value?.code === code) openLot.value = opened(reply.value);
}

/** Finishes a lot, or takes it back onto the shelf. */
export async function finishLot(finished: boolean): Promise<void> {
  const code = openLot.value?.code;
  if (code === undefined || code === null) return;
  const reply = await askReply('organ.finish', { code, finished });
  const now = openLot.value;
  if (now?.code !== code) return;
  openLot.value = reply.ok ? opened(reply.value) : { ...now, trouble: reply.trouble };
  await fetchShelves();
}

/** Sets down what a bottle holds. */
export interface Saying {
  readonly kind: 'weighed' | 'corrected' | 'received';
  readonly g: string;
  readonly gross: string;
  readonly empty: string;
  readonly why: string;
}

/** What is typed of the stock of the open lot, what is wrong with it; null while nothing is asked. */
export const saying = signal<(Saying & { readonly problems: readonly FieldProblem[] }) | null>(null);

export function beginSaying(kind: Saying['kind']): void {
  const empty = openLot.value?.form.empty ?? '';
  saying.value = { kind, g: '', gross: '', empty, why: '', problems: [] };
}

export function say(part: Partial<Saying>): void {
  if (saying.value !== null) saying.value = { ...saying.value, ...part };
}

/** Keeps what was said of the stock. */
export async function keepSaying(): Promise<void> {
  const now = saying.value;
  const lot = openLot.value;
  if (now === null || lot === null || lot.code === null) return;
  const { kind, why } = now;
  const figures = kind === 'weighed' ? { gross: now.gross, empty: now.empty } : { g: now.g };
  const who = operator.value.trim();
  const reply = await askReply('organ.stock', { code: lot.code, kind, why, who, ...figures });
  if (!reply.ok) {
    openLot.value = { ...lot, trouble: reply.trouble };
    return;
  }
  if (reply.value.saved === null) {
    saying.value = { ...now, problems: reply.value.problems };
    return;
  }
  saying.value = null;
  await Promise.all([refresh(lot.code), fetchShelves()]);
}
