import type { Lot, Material } from '../../../core/formula/types.ts';
import { canonicalJson } from '../../../core/record/canonical.ts';
import { verifyChain } from '../../../core/record/chain.ts';
import type { FormulaVersionInFile } from '../../../core/record/workshop-file.ts';
import { sha256 } from '../store/journal.ts';
import type { Store } from '../store/store.ts';
import type { Output } from '../table.ts';
import type { Archive } from './archive.ts';
import { differenceWords } from './list-words.ts';

type Item = Output<'archive.read'>['items'][number];
export type Choice = Item['choices'][number];

/** How a thing of the archive stands beside what is here. */
export type Standing = 'new' | 'same' | 'differs';

interface Beside<T> {
  readonly is: T;
  readonly standing: Standing;
  /** In what it differs, in words. */
  readonly what: readonly string[];
}

export type ArchiveBatch = Archive['batches'][number];
export type ArchiveFormula = Archive['formulas'][number];

/** An archive beside the workshop. */
export interface Compared {
  readonly materials: readonly Beside<Material>[];
  readonly lots: readonly Beside<Lot>[];
  readonly formulas: readonly Beside<ArchiveFormula>[];
  /** Of a batch that is here: how many of its events are. */
  readonly batches: readonly (Beside<ArchiveBatch> & { readonly from: number })[];
  readonly profiles: readonly Beside<Archive['balances']['profiles'][number]>[];
  /** What cannot be taken, and why, in sentences. */
  readonly refused: readonly string[];
}

const same = (a: unknown, b: unknown): boolean => canonicalJson(a) === canonicalJson(b);

const inThe = ({ called }: Pick<Archive, 'called'>): string => `in the ${called}`;

function besides<T extends object>(is: T, was: T | undefined, from: Archive): Beside<T> {
  if (was === undefined) return { is, standing: 'new', what: [] };
  const what = differenceWords(was, is, inThe(from));
  return { is, standing: what.length === 0 ? 'same' : 'differs', what };
}

const bare = ({ stock: _, ...lot }: Lot): Lot => lot;

/** Identity of something that was said of a bottle. */
const entryText = ({ lot, at, kind, g, body }: Archive['stock'][number]): string =>
  canonicalJson({ lot, at, kind, g, body });

/** What the archive says of the stock of a lot and nobody has said here. */
export function newEntries(archive: Archive, store: Store): Archive['stock'] {
  const known = new Set(store.archive.stock().map((row) => entryText(row)));
  return archive.stock.filter((row) => !known.has(entryText(row)));
}

function compareLots(archive: Archive, store: Store): Beside<Lot>[] {
  const here = new Map(store.workshop.read().lots.map((lot) => [lot.code, lot]));
  const more = Map.groupBy(newEntries(archive, store), (row) => row.lot);
  return archive.organ.lots.map((given) => {
    const is = given as Lot;
    const was = here.get(is.code);
    if (was === undefined) return { is, standing: 'new', what: [] };
    const { what } = besides(bare(is), bare(was), archive);
    const stock =
      more.has(is.code) && is.stock !== was.stock
        ? [`stock: ${was.stock ?? 'not known'} here, ${is.stock ?? 'not known'} ${inThe(archive)}`]
        : [];
    const all = [...what, ...stock];
    return { is, standing: all.length === 0 ? 'same' : 'differs', what: all };
  });
}

const writtenSame = (a: FormulaVersionInFile, b: { written: unknown }): boolean => same(a.written, b.written);

function compareFormula(is: ArchiveFormula, store: Store, from: Archive): Beside<ArchiveFormula> {
  const here = store.versions.list(is.id).toReversed();
  const mine = here.at(-1);
  const theirs = is.versions.at(-1);
  if (mine === undefined || theirs === undefined) return { is, standing: 'new', what: [] };
  const known = is.versions.every((one) => here.some((own) => own.n === one.n && writtenSame(one, own)));
  if (known) return { is, standing: 'same', what: [] };
  return {
    is,
    standing: 'differs',
    what: [`version ${mine.n} here, version ${theirs.n} ${inThe(from)}, written otherwise`],
  };
}

/** Whether the archive only goes on where the versions here end. */
export function goesOn(is: ArchiveFormula, store: Store): boolean {
  const here = store.versions.list(is.id).toReversed();
  return here.every((own) => is.versions.some((one) => one.n === own.n && writtenSame(one, own)));
}

type BatchStanding = Compared['batches'][number] | { readonly refused: string };

function compareBatch(is: ArchiveBatch, store: Store): BatchStanding {
  const { batch, events } = is;
  const verdict = verifyChain(sha256, events as Parameters<typeof verifyChain>[1]);
  const foreign = events.some((one) => one.batch !== batch.id);
  if (!verdict.ok || foreign)
    return {
      refused: `Batch ${batch.name} of ${batch.started.slice(0, 10)} is not taken: ${verdict.ok ? 'its events are of another batch' : verdict.why}.`,
    };
  const here = store.journal.events(batch.id);
  if (here.length === 0) return { is, standing: 'new', what: [], from: 0 };
  const shared = Math.min(here.length, events.length);
  const apart = here.findIndex((own, at) => at < shared && own.hash !== events[at]?.hash);
  if (apart >= 0)
    return {
      refused: `Batch ${batch.name} is here with another event ${apart + 1}: it stays as it is here.`,
    };
  if (events.length <= here.length) return { is, standing: 'same', what: [], from: here.length };
  const more = events.length - here.length;
  return { is, standing: 'differs', what: [`${more} later events in the archive`], from: here.length };
}

/** Compares an archive with the workshop, thing by thing, by identity. Nothing is changed. */
export function compared(archive: Archive, store: Store): Compared {
  const materials = new Map(store.workshop.read().materials.map((one) => [one.key, one]));
  const profiles = new Map(store.archive.profiles().map((one) => [one.id, one]));
  const batches = archive.batches.map((one) => compareBatch(one, store));
  return {
    materials: archive.organ.materials.map((one) =>
      besides(one as Material, materials.get(one.key), archive),
    ),
    lots: compareLots(archive, store),
    formulas: archive.formulas.map((one) => compareFormula(one, store, archive)),
    batches: batches.flatMap((one) => ('refused' in one ? [] : [one])),
    profiles: archive.balances.profiles.map((one) => {
      const was = profiles.get(one.id);
      const standing = was === undefined ? 'new' : was.body === one.body ? 'same' : 'differs';
      return { is: one, standing, what: standing === 'differs' ? ['told otherwise in the archive'] : [] };
    }),
    refused: batches.flatMap((one) => ('refused' in one ? [one.refused] : [])),
  };
}

/** Names of things of one kind in a sentence: "12 materials new, 3 the same, 1 differs." */
function counted(all: readonly Beside<unknown>[], one: string, many: string): string[] {
  if (all.length === 0) return [];
  const of = (standing: Standing) => all.filter((each) => each.standing === standing).length;
  const [fresh, kept, differ] = [of('new'), of('same'), of('differs')];
  return [
    `${many[0]?.toUpperCase()}${many.slice(1)}: ${[
      ...(fresh > 0 ? [`${fresh} new`] : []),
      ...(kept > 0 ? [`${kept} the same`] : []),
      ...(differ > 0 ? [`${differ} ${differ === 1 ? `${one} differs` : 'differ'}`] : []),
    ].join(', ')}.`,
  ];
}

/** What a person is shown of an archive before anything is taken. */
export function archiveView(archive: Archive, now: Compared): Omit<Output<'archive.read'>, 'name'> {
  const items = <T>(
    all: readonly Beside<T>[],
    choices: readonly Choice[],
    name: (is: T) => readonly [id: string, says: string],
  ): Item[] =>
    all.flatMap((one) => {
      if (one.standing !== 'differs') return [];
      const [id, says] = name(one.is);
      return [{ id, name: says, what: [...one.what], choices: [...choices] }];
    });
  const all: Choice[] = ['keep', 'take', 'both'];
  return {
    called: archive.called,
    made: archive.made,
    summary: [
      ...counted(now.materials, 'material', 'materials'),
      ...counted(now.lots, 'bottle', 'bottles'),
      ...counted(now.formulas, 'formula', 'formulas'),
      ...counted(now.batches, 'batch', 'batches'),
      ...counted(now.profiles, 'balance', 'balances'),
    ],
    items: [
      ...items(now.materials, all, (is) => [`material ${is.key}`, is.name]),
      ...items(now.lots, all, (is) => [`lot ${is.code}`, `${is.name}, ${is.code}`]),
      ...items(now.formulas, all, (is) => [`formula ${is.id}`, is.versions.at(-1)?.written.name ?? is.id]),
      ...items(now.batches, ['keep', 'take'], (is) => [`batch ${is.batch.id}`, is.batch.name]),
      ...items(now.profiles, ['keep', 'take'], (is) => [`balance ${is.id}`, `balance ${is.id}`]),
    ],
    refused: [...now.refused],
  };
}
