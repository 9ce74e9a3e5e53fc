/** What the stand-in for the desktop runtime tells the test that started it. */
export type Told =
  | { readonly told: 'page'; readonly devtools: string }
  | { readonly told: 'menu'; readonly items: readonly string[] }
  | { readonly told: 'save-dialog'; readonly suggested: string }
  | { readonly told: 'error-box'; readonly title: string; readonly text: string }
  | { readonly told: 'permission'; readonly asked: string; readonly granted: boolean }
  | { readonly told: 'navigation'; readonly url: string; readonly refused: boolean }
  | { readonly told: 'new-window'; readonly url: string; readonly refused: boolean }
  | { readonly told: 'opened'; readonly path: string; readonly bytes: number }
  | { readonly told: 'focus' }
  | { readonly told: 'closed' };

/** What the test tells the stand-in: where the next save dialog is answered to; null declines it. */
export interface Answer {
  readonly saveTo: string | null;
}

/** Tells the test. */
export function tell(told: Told): void {
  process.send?.(told);
}
