import { mkdtempSync, rmSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import type { WrittenFormula, WrittenLine } from '../../core/formula/written.ts';
import { loadDemo } from '../../electron/host/exchange/first-run.ts';
import { comparisonView } from '../../electron/host/formulas/comparing.ts';
import { figuresOf } from '../../electron/host/formulas/figures.ts';
import { FormulaIndex } from '../../electron/host/formulas/list.ts';
import { checkView, sheetView, versionOf } from '../../electron/host/formulas/sheet.ts';
import { formulaViews } from '../../electron/host/formulas.ts';
import { limitsFor } from '../../electron/host/limits.ts';
import { openStore, type Store } from '../../electron/host/store/store.ts';
import { measured } from './measured.ts';

/**
 * Measures list, search, open, check while typing, save, compare and figures among many formulas, in ms: the first run,
 * then median and slowest of the others. `node tests/bench/formulas.ts 5000` takes another number of formulas.
 */
const FORMULAS = Number(process.argv[2] ?? 2000);
const LINES = 24;
const AT = '2026-11-25T09:00:00.000Z';
const WORDS = ['Hedge', 'Window', 'Été', 'Shelf', 'Harbour', 'Stair', 'Rail', 'Powder'];

const store: Store = openStore(mkdtempSync(join(tmpdir(), 'pourwright-formulas-')));

/** Every tenth formula has the one before it as an accord. */
function formulaOf(i: number, neat: readonly string[]): WrittenFormula {
  const lines: WrittenLine[] = Array.from({ length: LINES - 2 }, (_, at) => ({
    id: `l${at}`,
    of: { material: neat[(i * 7 + at) % neat.length] ?? 'linalool' },
    amount: { figure: String(((i + at) % 9) / 4 + 0.25), unit: 'percent' as const },
  }));
  if (i % 10 === 9)
    lines.push({
      id: 'accord',
      of: { formula: `f${i - 1}`, version: 1 },
      amount: { figure: '20', unit: 'percent' },
    });
  lines.push({ id: 'q', of: { material: 'ethanol' }, qs: true });
  return {
    id: `f${i}`,
    name: `${WORDS[i % WORDS.length]} ${WORDS[(i * 3) % WORDS.length]}, trial ${i}`,
    batch: '30',
    tolerance: '0.01',
    lines,
  };
}

try {
  console.log(`Node ${process.versions.node}, ${cpus().length} x ${cpus()[0]?.model ?? 'unknown'}`);
  loadDemo(store, AT);
  const { versions } = store;
  const neat = versions.known().materials.flatMap((one) => (one.kind === 'neat' ? [one.key] : []));
  const filling = performance.now();
  store.together(() => {
    for (let i = 0; i < FORMULAS; i += 1) versions.save(formulaOf(i, neat), { why: 'bench', at: AT });
  });
  const took = ((performance.now() - filling) / 1000).toFixed(1);
  console.log(`${FORMULAS} formulas of ${LINES} lines saved in ${took} s`);
  const index = new FormulaIndex();
  const open = (i: number) => `f${(i * 79) % FORMULAS}`;
  const find = (words: string) => index.find(versions.known(), { words, limit: 200 });
  measured('list, first page', () => find(''));
  measured('list, after something was stored', (i) => {
    store.workshop.set('bench', String(i));
    return find('');
  });
  measured('search, a name', (i) => find(`harbour trial ${i}`));
  measured('search, a material of most', () => find('linalool'));
  measured('every formula, as Pour lists them', () => formulaViews(versions.known().formulas));
  measured('open one, with its versions', (i) => sheetView(store, { id: open(i) }));
  measured('check while typing, accord in it', (i) =>
    checkView({ ...formulaOf(9 + 10 * i, neat), name: `typed ${i}` }, store),
  );
  measured('save, a change', (i) =>
    versions.save({ ...formulaOf(i, neat), name: `Changed ${i}` }, { why: 'bench', at: AT }),
  );
  measured('compare two', (i) =>
    comparisonView(store, versionOf(versions, { id: open(i) }), versionOf(versions, { id: open(i + 1) })),
  );
  const place = { workshop: store.workshop.read(), limits: limitsFor(null), today: '2026-11-25' };
  measured('cost and smallest sure batch', (i) =>
    figuresOf(versionOf(versions, { id: open(i) }), undefined, place),
  );
} finally {
  const { folder } = store;
  store.close();
  rmSync(folder, { recursive: true, force: true });
}
