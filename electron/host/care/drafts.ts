import type { KeptCheck } from '../store/care.ts';
import type { Store } from '../store/store.ts';
import { readCheck } from './kept.ts';

/** A check under way as it stands on disk, so that no figure is lost where the program ends in the middle of it. */
export type Draft = Omit<KeptCheck, 'n'>;

const settingOf = (bench: string): string => `check under way on bench ${bench}`;
/** A setting can only be written anew: this says that there is none. */
const NONE = '';

/** Writes what was taken so far. @throws StoreTrouble */
export function keepDraft({ workshop }: Pick<Store, 'workshop'>, bench: string, draft: Draft): void {
  workshop.set(settingOf(bench), JSON.stringify(draft));
}

/** Whether these checks, the latest first, hold what was taken in the draft. */
function isKept(draft: Draft, checks: readonly KeptCheck[]): boolean {
  const figuresOf = (one: Omit<KeptCheck, 'n'>) =>
    readCheck({ ...one, n: 0 })?.taken.map(({ g, at }) => `${at} ${g}`) ?? [];
  const figures = figuresOf(draft);
  return checks.some((one) => {
    const kept = figuresOf(one);
    return figures.every((figure, i) => kept[i] === figure);
  });
}

/**
 * Strikes the draft of a bench where no check is under way. One that was never kept was under way when the program
 * ended: it is kept as a stopped check. @throws StoreTrouble
 */
export function strikeDraft(store: Pick<Store, 'workshop' | 'care'>, bench: string): void {
  const text = store.workshop.setting(settingOf(bench));
  if (text === null || text === NONE) return;
  const draft = JSON.parse(text) as Draft;
  if (!isKept(draft, store.care.checks(draft.profile, draft.kind))) store.care.addCheck(draft);
  store.workshop.set(settingOf(bench), NONE);
}
