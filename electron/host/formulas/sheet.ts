import type { z } from 'zod';
import { pictureOf } from '../../../core/formula/picture.ts';
import type { Resolution } from '../../../core/formula/resolve.ts';
import { sharesOf } from '../../../core/formula/shares.ts';
import { FormulaTrouble, type Problem } from '../../../core/formula/trouble.ts';
import type { Material } from '../../../core/formula/types.ts';
import type { WrittenFormula } from '../../../core/formula/written.ts';
import { decimal } from '../../../core/quantity/decimal.ts';
import type { FormulaVersion, FormulaVersions } from '../store/formula-versions.ts';
import type { Store } from '../store/store.ts';
import type * as table from '../table-written.ts';
import { HostTrouble } from '../trouble.ts';
import { amountText, byKey, dilutionText, grams, pictureView, restOf, share } from './texts.ts';

type CheckView = z.infer<typeof table.CheckView>;
type FormulaSheet = z.infer<typeof table.FormulaSheet>;
type VersionRow = z.infer<typeof table.VersionRow>;
type Names = ReadonlyMap<string, Material>;

/** A version that must be there. @throws HostTrouble when it is not */
export function versionOf(
  versions: FormulaVersions,
  { id, n }: { id: string; n?: number | undefined },
): FormulaVersion {
  const found = n === undefined ? versions.head(id) : versions.at(id, n);
  if (found !== null) return found;
  throw new HostTrouble(
    n === undefined ? `There is no formula "${id}".` : `There is no version ${n} of "${id}".`,
    'Formulas',
    'Choose one from the list.',
  );
}

function tried(resolve: () => Resolution): { resolution: Resolution | null; problems: readonly Problem[] } {
  try {
    return { resolution: resolve(), problems: [] };
  } catch (cause) {
    if (!(cause instanceof FormulaTrouble)) throw cause;
    return { resolution: null, problems: cause.problems };
  }
}

function lineViews(
  written: WrittenFormula,
  versions: FormulaVersions,
  names: Names,
): { lines: CheckView['lines']; shares: ReturnType<typeof sharesOf> } {
  const shares = sharesOf(written);
  const batch = decimal(written.batch);
  const byLine = new Map(shares.lines.map((one) => [one.line.id, one]));
  const lines = written.lines.map((line) => {
    const found = byLine.get(line.id);
    const accord = 'formula' in line.of ? line.of : null;
    const material = 'material' in line.of ? names.get(line.of.material) : undefined;
    const head = accord === null ? null : versions.head(accord.formula);
    return {
      id: line.id,
      title:
        head?.written.name ??
        material?.name ??
        accord?.formula ??
        ('material' in line.of ? line.of.material : ''),
      note: material?.note ?? null,
      family: material?.family ?? (accord === null ? '' : 'accord'),
      amount: amountText(line),
      dilution: dilutionText(line, names),
      neat: found === undefined ? null : share(found.neat),
      grams: found === undefined ? null : grams(found.share.times(batch)),
      accord:
        accord === null ? null : { id: accord.formula, n: accord.version, newest: head?.n ?? accord.version },
      lot: line.lot ?? '',
    };
  });
  return { lines, shares };
}

function resolvedView({ formula, materials, words }: Resolution, names: Names): CheckView['resolved'] {
  const ways = new Map(materials.map((one) => [one.material, one.from]));
  const rest = restOf(formula);
  const batch = decimal(formula.batch);
  return {
    rows: formula.lines.map((line) => {
      const material = names.get(line.material);
      const fraction = line.fraction === undefined ? rest : decimal(line.fraction);
      const from = ways.get(line.material) ?? [];
      return {
        line: line.id,
        material: material?.name ?? line.material,
        note: material?.note ?? null,
        family: material?.family ?? '',
        percent: share(fraction),
        grams: grams(fraction.times(batch)),
        lot: line.lot ?? '',
        qs: line.qs === true,
        from: from.flatMap((one) => (one.accords.length === 0 ? [] : [one.accords.join(', in ')])),
      };
    }),
    words: [...words],
  };
}

/** What a formula comes to as it is written, and everything wrong with it, each at its field. */
export function checkView(written: WrittenFormula, store: Pick<Store, 'versions'>): CheckView {
  const names = byKey(store.versions.known().materials);
  const { lines, shares } = lineViews(written, store.versions, names);
  const { resolution, problems } = tried(() => store.versions.resolve(written));
  const { fill } = shares;
  const rest = resolution === null ? decimal('1').minus(shares.sum) : restOf(resolution.formula);
  const all = [...shares.problems, ...problems];
  return {
    problems: all.filter((one, at) => all.findIndex((other) => other.field === one.field) === at),
    lines,
    sum: share(shares.sum, 6),
    fills:
      fill === null || shares.sum.gt(1)
        ? null
        : {
            name: names.get(fill.material)?.name ?? fill.material,
            percent: share(rest),
            grams: grams(rest.times(decimal(written.batch))),
          },
    resolved: resolution === null ? null : resolvedView(resolution, names),
    picture: resolution === null ? null : pictureView(pictureOf(resolution.formula, names)),
  };
}

function versionRows(store: Pick<Store, 'versions' | 'catalog'>, id: string): VersionRow[] {
  const { versions, catalog } = store;
  const batches = versions.batchesOf(id);
  const uses = versions.usedBy(id);
  return versions.list(id).map((one) => ({
    n: one.n,
    at: one.at,
    why: one.why,
    fixed: one.fixed || batches.some((batch) => batch.n === one.n),
    lines: one.written.lines.length,
    batches: batches
      .filter((batch) => batch.n === one.n)
      .map(({ batch, name, started, status }) => ({ batch, name, started, status })),
    adopted:
      one.adopted === null
        ? null
        : { batch: one.adopted, name: catalog.row(one.adopted)?.name ?? one.adopted },
    usedBy: uses
      .filter((use) => use.n === one.n)
      .map((use) => ({
        id: use.formula,
        n: use.version,
        name: versions.at(use.formula, use.version)?.written.name ?? use.formula,
      })),
  }));
}

/** One version of a formula, with all others listed. @throws HostTrouble when there is none */
export function sheetView(
  store: Pick<Store, 'versions' | 'catalog'>,
  ask: { readonly id: string; readonly n?: number | undefined },
): FormulaSheet {
  const version = versionOf(store.versions, ask);
  const versions = versionRows(store, version.id);
  const { written } = version;
  return {
    ...checkView(written, store),
    id: version.id,
    name: written.name,
    n: version.n,
    head: versions[0]?.n ?? version.n,
    at: version.at,
    why: version.why,
    fixed: versions.find((one) => one.n === version.n)?.fixed ?? version.fixed,
    batch: written.batch,
    tolerance: share(decimal(written.tolerance)),
    written,
    versions,
  };
}
