import { z } from 'zod';
import type { Remedy } from '../../core/formula/remedies.ts';
import type { StoredEvent } from '../../core/pour/events.ts';
import { type Decimal, plain } from '../../core/quantity/decimal.ts';
import { asMade } from '../../core/record/as-made.ts';
import { madeLot } from '../../core/record/made-lot.ts';
import { type Poured, pouredOf } from '../../core/record/pours.ts';
import { asMadeInput } from '../../core/record/record.ts';
import { uncertaintyOf } from '../../core/record/uncertainty.ts';
import type { Journal } from './store/journal.ts';
import type { WorkshopStore } from './store/workshop.ts';
import type { Draft, ShelfOffer } from './table.ts';
import { Draft as DraftSchema } from './table-plans.ts';
import { HostTrouble } from './trouble.ts';

const SETTING = 'dilution to make first';

/** A dilution that a plan waits for: its own formula, the code its bottle will have, and the draft to go back to. */
const Pending = z.object({ first: z.string(), code: z.string(), name: z.string(), back: DraftSchema });
type Pending = z.infer<typeof Pending>;

/** The plan that waits for a dilution; null when none does. It survives a restart. */
export function pendingDilution(workshop: WorkshopStore): Pending | null {
  const text = workshop.setting(SETTING);
  if (text === null || text === '') return null;
  return Pending.parse(JSON.parse(text));
}

/** The plan no longer waits. The dilution's formula stays in Formulas. */
export function forgetDilution(workshop: WorkshopStore): void {
  workshop.set(SETTING, '');
}

/** Applies a remedy to a draft: the draft to plan next. A dilution to make first becomes a formula of its own. */
export function applyRemedy(draft: Draft, remedy: Remedy, workshop: WorkshopStore): Draft {
  switch (remedy.kind) {
    case 'bottle':
      return { ...draft, lots: { ...draft.lots, [remedy.line]: remedy.lot } };
    case 'batch':
      return { ...draft, size: { by: 'mass', g: remedy.batch } };
    case 'dilution': {
      const id = `${remedy.first.id}-${remedy.lot.code}`.toLowerCase();
      workshop.add({ materials: [], lots: [], formulas: [{ ...remedy.first, id }] });
      const back: Draft = { ...draft, lots: { ...draft.lots, [remedy.line]: remedy.lot.code } };
      const pending: Pending = { first: id, code: remedy.lot.code, name: remedy.lot.name, back };
      workshop.set(SETTING, JSON.stringify(pending));
      return { formula: id };
    }
    case 'balance':
      throw new HostTrouble(
        `A balance that shows ${remedy.d} g is not on the bench.`,
        'Formulas',
        'Put it on the bench and choose it on the Balance screen.',
      );
  }
}

function closedEvents(journal: Journal, batch: string): StoredEvent[] {
  const events = journal.events(batch);
  if (events.length === 0)
    throw new HostTrouble(`There is no batch "${batch}".`, 'Records', 'Choose one from the list.');
  if (!events.some((one) => one.event.type === 'closed'))
    throw new HostTrouble(
      'This batch is not closed.',
      'Records',
      'Close it first: only then is its strength known.',
    );
  return events;
}

const slug = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/[^A-Za-z0-9]+/g, ' ')
    .trim()
    .split(' ')
    .map((word) => word.slice(0, 2).toUpperCase())
    .join('')
    .slice(0, 6);

/** A code that no bottle has: initials of the name and the day. */
function freeCode(name: string, ended: string, taken: ReadonlySet<string>): string {
  const stem = `${slug(name) || 'LOT'}-${ended.slice(2, 10).replaceAll('-', '')}`;
  let code = stem;
  for (let n = 2; taken.has(code); n += 1) code = `${stem}-${n}`;
  return code;
}

/** Longest code that fits a label. */
const LONGEST_CODE = 24;

/**
 * A batch of one lot and solvent is offered under the code of that lot with the strength that was wanted, and the name of
 * its material with the strength it has; null for any other batch.
 */
function asDilution(poured: Poured, taken: ReadonlySet<string>): { code: string; name: string } | null {
  const { formula, plan, materials } = poured.facts;
  const [wanted, ...more] = formula.lines.filter((line) => line.qs !== true);
  const source = plan.steps.find((step) => step.line === wanted?.id)?.lot;
  if (wanted === undefined || source === undefined || more.length > 0 || formula.lines.length !== 2)
    return null;
  const made = asMade(asMadeInput(poured));
  const kindOf = new Map(materials.map((one) => [one.key, one]));
  const parts = made.composition.filter(({ fraction }) => fraction.gt(0));
  const neat = parts.filter(({ material }) => kindOf.get(material)?.kind === 'neat');
  const [solvent] = parts
    .filter(({ material }) => kindOf.get(material)?.kind === 'solvent')
    .sort((a, b) => b.fraction.cmp(a.fraction));
  const [only] = neat;
  if (neat.length !== 1 || only === undefined || solvent === undefined) return null;
  const percent = (fraction: Decimal): string => plain(fraction.times(100).toSignificantDigits(4));
  const stem = `${source}-${percent(made.targetStrength)}`;
  let code = stem;
  for (let n = 2; taken.has(code); n += 1) code = `${stem}-${n}`;
  if (code.length > LONGEST_CODE) return null;
  return { code, name: `${only.name} ${percent(only.fraction)} % in ${solvent.name.toLowerCase()}` };
}

/** What a closed batch could be put on the shelf as. @throws HostTrouble when the batch is not closed */
export function shelfOffer(journal: Journal, workshop: WorkshopStore, batch: string): ShelfOffer {
  const poured = pouredOf(closedEvents(journal, batch));
  const { lots } = workshop.read();
  const there = lots.find((lot) => lot.madeBy === batch);
  if (there !== undefined) return { code: there.code, name: there.name, done: true };
  const pending = pendingDilution(workshop);
  const { formula } = poured.facts;
  if (pending?.first === formula.id) return { code: pending.code, name: pending.name, done: false };
  const taken = new Set(lots.map((lot) => lot.code));
  const dilution = asDilution(poured, taken);
  if (dilution !== null) return { ...dilution, done: false };
  return {
    code: freeCode(formula.name, poured.ended ?? poured.started, taken),
    name: formula.name,
    done: false,
  };
}

/**
 * Puts a closed batch on the shelf: a lot with the composition as made and its uncertainty.
 * @returns the draft that waited for it, to be planned again; null when none did
 * @throws HostTrouble when the batch is not closed or the code is taken
 */
export function shelve(
  journal: Journal,
  workshop: WorkshopStore,
  batch: string,
  label: { readonly code: string; readonly name: string },
): Draft | null {
  const poured = pouredOf(closedEvents(journal, batch));
  const { lots } = workshop.read();
  if (lots.some((lot) => lot.madeBy === batch))
    throw new HostTrouble('This batch is on the shelf already.', 'Organ', 'Find it there by its name.');
  if (lots.some((lot) => lot.code.toLowerCase() === label.code.toLowerCase()))
    throw new HostTrouble(`A bottle has the code ${label.code} already.`, 'code', 'Give another code.');
  const input = asMadeInput(poured);
  const made = asMade(input);
  const lot = madeLot(made, uncertaintyOf(input, poured.facts.balance.limits, made), { ...label, batch });
  workshop.add({ materials: [], lots: [lot], formulas: [] });
  const pending = pendingDilution(workshop);
  if (pending === null || pending.first !== poured.facts.formula.id) return null;
  forgetDilution(workshop);
  const line = Object.entries(pending.back.lots ?? {}).find(([, code]) => code === pending.code)?.[0];
  return line === undefined
    ? pending.back
    : { ...pending.back, lots: { ...pending.back.lots, [line]: label.code } };
}
