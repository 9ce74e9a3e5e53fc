/** Gives the focus to the leaf of the screen, so that every key goes on meaning what it means there. */
export function backToLeaf(): void {
  document.querySelector('main')?.focus({ preventScroll: true });
}

/** Where what had the focus has gone from the page, the leaf has it. */
export function keepFocusOnLeaf(): void {
  const { activeElement } = document;
  if (activeElement === null || activeElement === document.body) backToLeaf();
}
