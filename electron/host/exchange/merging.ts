import { canonicalJson } from '../../../core/record/canonical.ts';
import type { BatchRows } from '../store/archive-rows.ts';
import type { Store } from '../store/store.ts';
import type { Archive } from './archive.ts';
import { type ArchiveBatch, type Choice, type Compared, compared, goesOn, newEntries } from './comparing.ts';
import { freeName, type Renames, renamedLot, renamedMaterial, renamedVersion } from './renaming.ts';

/** What a person chose for things that differ, by their id; what is not named is kept as it is here. */
export type Choices = Readonly<Record<string, Choice>>;

class Merging {
  readonly #store: Store;
  readonly #archive: Archive;
  readonly #now: Compared;
  readonly #choices: Choices;
  readonly #names: Renames;
  readonly #at: string;

  constructor(store: Store, archive: Archive, choices: Choices, at: string) {
    this.#store = store;
    this.#archive = archive;
    this.#choices = choices;
    this.#at = at;
    this.#now = compared(archive, store);
    this.#names = this.#renames();
  }

  #chosen(id: string, standing: string): Choice | 'new' | 'same' {
    if (standing !== 'differs') return standing as 'new' | 'same';
    return this.#choices[id] ?? 'keep';
  }

  #renames(): Renames {
    const { workshop } = this.#store;
    const { materials, lots, formulas } = workshop.read();
    const of = <T>(
      all: readonly { is: T; standing: string }[],
      kind: string,
      name: (is: T) => string,
      here: readonly string[],
    ): Map<string, string> => {
      const taken = new Set([...here, ...all.map(({ is }) => name(is))]);
      const found = new Map<string, string>();
      for (const { is, standing } of all) {
        if (this.#chosen(`${kind} ${name(is)}`, standing) !== 'both') continue;
        const free = freeName(name(is), taken);
        taken.add(free);
        found.set(name(is), free);
      }
      return found;
    };
    return {
      materials: of(
        this.#now.materials,
        'material',
        (one) => one.key,
        materials.map((one) => one.key),
      ),
      lots: of(
        this.#now.lots,
        'lot',
        (one) => one.code,
        lots.map((one) => one.code),
      ),
      formulas: of(
        this.#now.formulas,
        'formula',
        (one) => one.id,
        formulas.map((one) => one.id),
      ),
    };
  }

  run(): string[] {
    const before = new Map(this.#store.workshop.read().lots.map(({ code, stock }) => [code, stock]));
    const counts = [
      ['material', 'materials', this.#materials()],
      ['bottle', 'bottles', this.#lots()],
      ['formula', 'formulas', this.#formulas()],
      ['batch', 'batches', this.#batches()],
      ['balance', 'balances', this.#balances()],
    ] as const;
    this.#trials();
    this.#holdStock(before);
    const done = counts.flatMap(([one, many, n]) => (n === 0 ? [] : [`${n} ${n === 1 ? one : many}`]));
    return done.length === 0
      ? [`Everything in the ${this.#archive.called} is here already; nothing was changed.`]
      : [`${done.join(', ')} taken from the ${this.#archive.called}.`];
  }

  #materials(): number {
    const taken = this.#now.materials.filter(
      ({ is, standing }) => !['same', 'keep'].includes(this.#chosen(`material ${is.key}`, standing)),
    );
    for (const { is } of taken) this.#store.workshop.putMaterial(renamedMaterial(is, this.#names));
    return taken.length;
  }

  #lots(): number {
    const { workshop, stock, archive } = this.#store;
    const entries = Map.groupBy(newEntries(this.#archive, this.#store), (row) => row.lot);
    let taken = 0;
    for (const { is, standing } of this.#now.lots) {
      const choice = this.#chosen(`lot ${is.code}`, standing);
      if (choice === 'keep') continue;
      if (choice !== 'same') {
        workshop.putLot(renamedLot(is, this.#names));
        taken += 1;
      }
      if (choice !== 'both') for (const row of entries.get(is.code) ?? []) archive.addStock(row);
      else if (is.stock !== undefined)
        stock.append(
          {
            lot: this.#names.lots.get(is.code) ?? is.code,
            kind: 'stated',
            g: is.stock,
            who: '',
            why: `as the ${this.#archive.called} told it`,
          },
          this.#at,
        );
    }
    return taken;
  }

  get #whence(): string {
    const { called, made } = this.#archive;
    return made === null ? `from a ${called}` : `from an ${called} of ${made.slice(0, 10)}`;
  }

  #formulas(): number {
    const { versions, archive } = this.#store;
    let taken = 0;
    for (const { is, standing } of this.#now.formulas) {
      const choice = this.#chosen(`formula ${is.id}`, standing);
      if (choice === 'same' || choice === 'keep') continue;
      taken += 1;
      const all = is.versions.map((one) => renamedVersion(one, this.#names));
      if (choice === 'take' && !goesOn(is, this.#store)) {
        const last = all.at(-1);
        if (last !== undefined)
          versions.save(last.written, {
            why: `${this.#whence}: ${last.why}`,
            at: this.#at,
            asNew: true,
          });
        continue;
      }
      const id = this.#names.formulas.get(is.id) ?? is.id;
      const here = new Set(choice === 'take' ? versions.list(id).map((one) => one.n) : []);
      for (const version of all) if (!here.has(version.n)) archive.addVersion(id, version);
    }
    return taken;
  }

  #batches(): number {
    const { archive } = this.#store;
    let taken = 0;
    /* The list is in the order batches came in: those of an archive come in as they were begun. */
    const inOrder = this.#now.batches.toSorted((a, b) => (a.is.batch.started < b.is.batch.started ? -1 : 1));
    for (const { is, standing, from } of inOrder) {
      const choice = this.#chosen(`batch ${is.batch.id}`, standing);
      if (choice !== 'new' && choice !== 'take') continue;
      archive.addBatch(rowsOf(is), from);
      this.#pouredFrom(is);
      taken += 1;
    }
    return taken;
  }

  /** A batch is told by its version only where that version is the same here. */
  #pouredFrom({ batch, version }: ArchiveBatch): void {
    if (version === null) return;
    const theirs = this.#archive.formulas
      .find((one) => one.id === version.formula)
      ?.versions.find((one) => one.n === version.n);
    const here = this.#store.versions.at(version.formula, version.n);
    if (theirs === undefined || here === null) return;
    if (canonicalJson(theirs.written) === canonicalJson(here.written))
      this.#store.archive.pouredFrom(batch.id, version.formula, version.n);
  }

  #balances(): number {
    const { care, archive } = this.#store;
    let taken = 0;
    for (const { is, standing } of this.#now.profiles) {
      const choice = this.#chosen(`balance ${is.id}`, standing);
      if (choice !== 'new' && choice !== 'take') continue;
      care.keepProfile(is.id, is.body);
      taken += 1;
    }
    const known = new Set(archive.checks().map((one) => canonicalJson(one)));
    for (const check of this.#archive.balances.checks)
      if (!known.has(canonicalJson(check))) care.addCheck(check);
    return taken;
  }

  /** Trials and their notes, of batches that are here by now. */
  #trials(): void {
    const { archive, journal } = this.#store;
    const batches = new Set(journal.batches().map((one) => one.id));
    const { trials, notes } = this.#archive.trials;
    for (const { batch, body } of trials) if (batches.has(batch)) archive.addTrial(batch, body);
    const known = new Set(archive.notes().map((one) => canonicalJson(one)));
    for (const note of notes)
      if (batches.has(note.batch) && !known.has(canonicalJson(note))) archive.addNote(note);
  }

  /** A bottle that stays as it is here keeps its stock, though batches that came in were poured from one of its code. */
  #holdStock(before: ReadonlyMap<string, string | undefined>): void {
    const { stock } = this.#store;
    for (const { is, standing } of this.#now.lots) {
      if (!['keep', 'both'].includes(this.#chosen(`lot ${is.code}`, standing))) continue;
      const g = before.get(is.code);
      if (g === undefined || stock.of(is.code) === g) continue;
      stock.append(
        { lot: is.code, kind: 'stated', g, who: '', why: 'as it was before an archive came in' },
        this.#at,
      );
    }
  }
}

const rowsOf = ({ batch, version, events, traces }: ArchiveBatch): BatchRows => ({
  batch,
  version,
  events: events as BatchRows['events'],
  traces: traces.map(({ n, body }) => ({ n, body: Buffer.from(body, 'base64') })),
});

/**
 * Takes an archive into the workshop, all or nothing: what is new is added, what is the same stays, what differs goes
 * by the choices. Batches come in only where their chain holds.
 * @param at now, RFC 3339
 * @returns what was done, in sentences
 */
export const mergeArchive = (store: Store, archive: Archive, choices: Choices, at: string): string[] =>
  store.together(() => new Merging(store, archive, choices, at).run());
