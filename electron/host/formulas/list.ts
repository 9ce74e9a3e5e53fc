import type { z } from 'zod';
import type { Known } from '../store/formula-versions.ts';
import type * as table from '../table-written.ts';

type Row = z.infer<typeof table.FormulaRow>;

/** Letters without their marks, small: "Été" is found by "ete". */
const folded = (text: string): string => text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();

interface Entry {
  readonly row: Row;
  readonly words: string;
}

/** Finds formulas by words of their names and of what is in them; read anew only when what is known is another. */
export class FormulaIndex {
  #known: Known | null = null;
  #entries: readonly Entry[] = [];

  find(
    known: Known,
    { words, limit }: { readonly words?: string | undefined; readonly limit: number },
  ): { rows: Row[]; found: number; all: number } {
    if (this.#known !== known) {
      this.#known = known;
      this.#entries = entriesOf(known);
    }
    const wanted = folded(words ?? '')
      .split(/\s+/)
      .filter((word) => word !== '');
    const found = this.#entries.filter((entry) => wanted.every((word) => entry.words.includes(word)));
    return {
      rows: found.slice(0, limit).map((entry) => entry.row),
      found: found.length,
      all: this.#entries.length,
    };
  }
}

function entriesOf({ formulas, materials }: Known): Entry[] {
  const names = new Map(materials.map((one) => [one.key, folded(one.name)]));
  return formulas
    .map((formula) => ({
      row: {
        id: formula.id,
        name: formula.name,
        version: formula.version ?? 1,
        lines: formula.lines.length,
        batch: formula.batch,
      },
      words: [
        folded(formula.name),
        ...formula.lines.map((line) => names.get(line.material) ?? folded(line.material)),
      ].join('\n'),
    }))
    .sort((a, b) => a.row.name.localeCompare(b.row.name, 'en'));
}
