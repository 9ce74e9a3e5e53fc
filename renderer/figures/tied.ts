/** A text in which a number keeps its unit on its line: the space between them does not break. */
export const tied = (text: string): string =>
  text.replace(/(\d) (?=(?:%|g|mg|mL)(?![\p{L}\p{N}]))/gu, '$1\u00a0');
