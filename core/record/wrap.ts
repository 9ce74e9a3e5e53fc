/** Width of a text on one line, in any one unit. */
export type WidthOf = (text: string) => number;

/** A word cut where it must be, so that no piece is wider than `width`; a single letter may be. */
function pieces(word: string, width: number, widthOf: WidthOf): string[] {
  if (widthOf(word.trimEnd()) <= width) return [word];
  const cut = [''];
  for (const letter of word) {
    const last = cut.at(-1) ?? '';
    if (last !== '' && widthOf(last + letter) > width) cut.push(letter);
    else cut[cut.length - 1] = last + letter;
  }
  return cut;
}

/** The parts between which a text may break: after spaces, and beside the characters of scripts that have none. */
export const partsOf = (text: string): string[] => text.split(/(?<=[\s\u3000-\u30ff\u4e00-\u9fff])/u);

/**
 * Text as lines of at most `width`. It breaks at spaces and beside the characters of scripts that have none; a word
 * that is longer than a line is broken where it must be.
 */
export function wrap(text: string, width: number, widthOf: WidthOf): string[] {
  const lines: string[] = [];
  for (const paragraph of text.split('\n')) {
    let line = '';
    for (const word of partsOf(paragraph))
      for (const piece of pieces(word, width, widthOf)) {
        if (line !== '' && widthOf((line + piece).trimEnd()) > width) {
          lines.push(line.trimEnd());
          line = '';
        }
        line += piece;
      }
    lines.push(line.trimEnd());
  }
  return lines;
}
