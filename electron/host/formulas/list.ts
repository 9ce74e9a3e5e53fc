import type { z } from 'zod';
import type { Formula } from '../../../core/formula/types.ts';
import type { Known } from '../store/known.ts';
import type * as table from '../table-written.ts';

type Row = z.infer<typeof table.FormulaRow>;

/** Letters without their marks, small: "Été" is found by "ete". */
const folded = (text: string): string => text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();

interface Entry {
  readonly row: Row;
  readonly words: string;
}

/** Orders names as a person reads them; made once, since making it costs more than a thousand comparisons. */
const byName = new Intl.Collator('en');

/** Finds formulas by words of their names and of what is in them; only what changed is read anew. */
export class FormulaIndex {
  #known: Known | null = null;
  #byFormula = new Map<Formula, Entry>();
  #entries: readonly Entry[] = [];

  find(
    known: Known,
    { words, limit }: { readonly words?: string | undefined; readonly limit: number },
  ): { rows: Row[]; found: number; all: number } {
    if (this.#known !== known) this.#take(known);
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

  #take(known: Known): void {
    const before = this.#known?.materials === known.materials ? this.#byFormula : new Map<Formula, Entry>();
    const names = new Map(known.materials.map((one) => [one.key, folded(one.name)]));
    this.#byFormula = new Map(
      known.formulas.map((one) => [one, before.get(one) ?? entryOf(one, names)] as const),
    );
    this.#entries = [...this.#byFormula.values()].sort((a, b) => byName.compare(a.row.name, b.row.name));
    this.#known = known;
  }
}

function entryOf(formula: Formula, names: ReadonlyMap<string, string>): Entry {
  return {
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
  };
}
