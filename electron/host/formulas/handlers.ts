import { applyRemedy, forgetDilution, pendingDilution } from '../dilutions.ts';
import { formulaViews } from '../formulas.ts';
import { draw, planView, remediesOf } from '../planning.ts';
import { placeOf, type Rooms } from '../rooms.ts';
import type { Store } from '../store/store.ts';
import type { Input } from '../table.ts';
import { HostTrouble } from '../trouble.ts';
import { adopt, adoptView, comparisonView } from './comparing.ts';
import { figuresOf } from './figures.ts';
import { FormulaIndex } from './list.ts';
import { checkView, sheetView, versionOf } from './sheet.ts';
import { freeId } from './texts.ts';
import { trialHandlers } from './trials.ts';

const now = (): string => new Date().toISOString();
const index = new FormulaIndex();

function planHandlers(rooms: Rooms) {
  const { store } = rooms;
  return {
    'formulas.list': () => formulaViews(store.versions.known().formulas),
    'formulas.plan': (draft: Input<'formulas.plan'>) => planView(draft, placeOf(rooms)),
    'formulas.remedy': ({ draft, line, remedy }: Input<'formulas.remedy'>) => {
      const place = placeOf(rooms);
      const found = remediesOf(draw(draft, place), line, place)[remedy];
      if (found === undefined)
        throw new HostTrouble('This remedy is not there any more.', 'Formulas', 'Look at the plan again.');
      return applyRemedy(draft, found, store.workshop);
    },
    'formulas.waiting': () => pendingDilution(store.workshop),
    'formulas.forget': () => {
      forgetDilution(store.workshop);
      return {};
    },
    'formulas.figures': ({ id, n, batch }: Input<'formulas.figures'>) =>
      figuresOf(versionOf(store.versions, { id, n }), batch, placeOf(rooms)),
  };
}

function writingHandlers({ versions, workshop }: Store) {
  return {
    'formulas.materials': () =>
      versions.known().materials.map(({ key, name, note, family, kind }) => ({
        key,
        name,
        note,
        family,
        solvent: kind === 'solvent',
      })),
    'formulas.bottles': ({ id }: Input<'formulas.bottles'>) => {
      const made = new Set(versions.bottlesOf(id).map((lot) => lot.code));
      const { lots } = workshop.read();
      return lots.flatMap(({ code, name, stock, finished }) =>
        made.has(code) && finished === undefined ? [{ code, name, stock: stock ?? null }] : [],
      );
    },
    'formulas.check': ({ written }: Input<'formulas.check'>) => checkView(written, { versions }),
    'formulas.save': ({ written, why, base }: Input<'formulas.save'>) => {
      const id = written.id === '' ? freeId(written.name, (one) => versions.head(one) !== null) : written.id;
      const saved = versions.save({ ...written, id }, { why, at: now(), base });
      return { id, n: saved.version };
    },
    'formulas.again': ({ id, n }: Input<'formulas.again'>) => {
      const { written } = versionOf(versions, { id, n });
      const saved = versions.save(written, { why: `version ${n} again`, at: now(), asNew: true });
      return { id, n: saved.version };
    },
  };
}

/** Answers the calls about formulas and their plans. */
export function formulaHandlers(rooms: Rooms) {
  const { store } = rooms;
  const { versions } = store;
  return {
    ...planHandlers(rooms),
    ...writingHandlers(store),
    ...trialHandlers(store, Date.now),
    'formulas.find': (ask: Input<'formulas.find'>) => index.find(versions.known(), ask),
    'formulas.open': (ask: Input<'formulas.open'>) => sheetView(store, ask),
    'formulas.compare': ({ a, b, batch }: Input<'formulas.compare'>) =>
      comparisonView(store, versionOf(versions, a), versionOf(versions, b), batch),
    'formulas.adoptable': ({ batch }: Input<'formulas.adoptable'>) => adoptView(store, batch),
    'formulas.adopt': ({ batch, why }: Input<'formulas.adopt'>) => adopt(store, batch, why, now()),
  };
}
