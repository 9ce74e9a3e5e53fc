import { randomInt, randomUUID } from 'node:crypto';
import allergens from '../../fixtures/references/allergens.json' with { type: 'json' };
import packageJson from '../../package.json' with { type: 'json' };
import { Balances } from './balances.ts';
import { commandOf } from './commanding.ts';
import { demoWorkshop } from './demo.ts';
import { applyRemedy, forgetDilution, pendingDilution, shelfOffer, shelve } from './dilutions.ts';
import { documentHandlers } from './document-handlers.ts';
import { exportFile, writeWhole } from './documents/export.ts';
import { openDropBook } from './drop-book.ts';
import { formulaViews } from './formulas.ts';
import { limitsFor } from './limits.ts';
import { shelves } from './organ.ts';
import { draw, type PlanningPlace, planView, remediesOf } from './planning.ts';
import { declarationView, recordOf, recordView } from './record-view.ts';
import { recordRows } from './records.ts';
import { Bench } from './session.ts';
import { openStore, type Store } from './store/store.ts';
import { type BenchView, type CallName, type Input, type Output, TABLE, type Trouble } from './table.ts';
import { HostTrouble, troubleOf } from './trouble.ts';

/** What the desktop around this host can do beyond every window. */
export interface Capabilities {
  /** Asks for a place with the desktop's own dialog; null when the person declines. */
  readonly saveDialog: ((suggested: string) => Promise<string | null>) | null;
  readonly menu: boolean;
}

export interface HostOptions {
  /** Folder of the database. */
  readonly data: string;
  readonly capabilities: Capabilities;
}

export type HostReply = { ok: true; value: unknown } | { ok: false; trouble: Trouble };

/** The one host behind every window. */
export interface Host {
  /** Answers a call of the typed table; an unknown name or a wrong input is answered with its trouble. */
  call(name: string, input: unknown): Promise<HostReply>;
  onBench(listener: (view: BenchView) => void): () => void;
  /** Leaves nothing open: neither port nor database. */
  close(): Promise<void>;
}

type Handlers = { readonly [K in CallName]: (input: Input<K>) => Output<K> | Promise<Output<K>> };

interface Rooms {
  readonly store: Store;
  readonly bench: Bench;
  readonly balances: Balances;
  readonly capabilities: Capabilities;
}

/** Where plans are made at this moment. */
const placeOf = ({ store, bench }: Rooms): PlanningPlace => ({
  workshop: store.workshop.read(),
  limits: limitsFor(bench.live.reading),
  today: new Date().toISOString().slice(0, 10),
});

function workshopHandlers(rooms: Rooms) {
  const { store, capabilities } = rooms;
  return {
    'app.capabilities': () => ({
      version: packageJson.version,
      saveDialog: capabilities.saveDialog !== null,
      menu: capabilities.menu,
      data: store.folder,
    }),
    'organ.shelves': () => {
      const { materials, lots } = store.workshop.read();
      return shelves(materials, lots);
    },
    'formulas.list': () => formulaViews(store.workshop.read()),
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
  };
}

function balanceHandlers({ bench, balances }: Rooms) {
  return {
    'balance.ports': () => balances.ports(),
    'balance.scales': () => balances.scales(),
    'balance.shapes': () => balances.shapes(),
    'balance.chosen': () => balances.chosen(),
    'balance.choose': async (choice: Input<'balance.choose'>) => {
      await balances.choose(choice);
      return bench.view().live;
    },
    'balance.find': ({ path }: Input<'balance.find'>) => balances.find(path),
    'balance.finding': () => balances.finding,
    'balance.stop-finding': () => balances.stopFinding(),
    'balance.type': ({ text }: Input<'balance.type'>) => {
      balances.type(text);
      return bench.view();
    },
    'balance.press': async ({ key }: Input<'balance.press'>) => {
      await balances.press(key);
      return {};
    },
    'pipette.drop': ({ count }: Input<'pipette.drop'>) => {
      balances.pipette().drop(count);
      return {};
    },
    'pipette.squeeze': ({ on }: Input<'pipette.squeeze'>) => {
      balances.pipette().squeeze(on);
      return {};
    },
    'pipette.vessel': ({ on }: Input<'pipette.vessel'>) => {
      balances.pipette().vessel(on);
      return {};
    },
  };
}

function pourHandlers(rooms: Rooms) {
  const { bench, balances } = rooms;
  return {
    'bench.view': () => bench.view(),
    'pour.start': ({ operator, ...draft }: Input<'pour.start'>) => {
      const place = placeOf(rooms);
      const { formula, plan } = draw(draft, place);
      bench.start({
        formula,
        planned: { plan, limits: place.limits },
        materials: place.workshop.materials,
        lots: place.workshop.lots,
        operator: operator?.trim() || 'not named',
        balanceName: bench.balance?.what ?? 'no balance yet',
      });
      return bench.view();
    },
    'pour.take-up': ({ batch }: Input<'pour.take-up'>) => {
      bench.takeUp(batch);
      balances.putBack();
      return bench.view();
    },
    'pour.do': (input: Input<'pour.do'>) => {
      if (input.do === 'settle') bench.settleAnew();
      else bench.do(commandOf(input, bench.settling.settled));
      return bench.view();
    },
    'pour.drops': ({ count }: Input<'pour.drops'>) => {
      bench.learnDrops(count);
      return bench.view();
    },
    'pour.leave': () => {
      bench.leave();
      return bench.view();
    },
  };
}

function recordHandlers({ store, capabilities }: Rooms) {
  return {
    'records.list': () => recordRows(store.journal),
    'records.open': ({ batch }: Input<'records.open'>) => recordView(store, batch),
    'records.shelf': ({ batch }: Input<'records.shelf'>) => shelfOffer(store.journal, store.workshop, batch),
    'records.shelve': ({ batch, code, name }: Input<'records.shelve'>) => ({
      back: shelve(store.journal, store.workshop, batch, { code, name }),
    }),
    'records.declaration': (ask: Input<'records.declaration'>) =>
      declarationView(recordOf(store.journal, ask.batch), ask, allergens),
    'records.export': ({ batch, format }: Input<'records.export'>) =>
      exportFile(store.journal, batch, format),
    'records.save': async ({ batch, format }: Input<'records.save'>) => {
      if (capabilities.saveDialog === null)
        throw new HostTrouble(
          'This window has no file dialog.',
          'Records',
          'Use Export: the browser saves the file.',
        );
      const file = exportFile(store.journal, batch, format);
      const path = await capabilities.saveDialog(file.name);
      if (path !== null) writeWhole(path, file.text);
      return { path };
    },
  };
}

/** A batch that was under way when the program ended is put back on the bench, if it is the only one. */
function takeUpInterrupted({ store, bench, balances }: Rooms): void {
  const open = store.catalog.open();
  const [only] = open;
  if (only === undefined || open.length > 1) return;
  bench.takeUp(only.id);
  balances.putBack();
}

/**
 * Opens the host on a data folder: the store, the remembered balance, and an interrupted batch.
 * @throws StoreTrouble when folder or database cannot be used; it carries what to do next
 */
export async function openHost(options: HostOptions): Promise<Host> {
  const store = openStore(options.data);
  if (store.workshop.isEmpty()) store.workshop.add(demoWorkshop());
  const bench = new Bench({
    journal: store.journal,
    drops: openDropBook(store.workshop),
    now: () => Date.now(),
    newId: () => randomUUID(),
  });
  const balances = new Balances(bench, store.workshop, () => randomInt(1, 2 ** 31));
  const rooms: Rooms = { store, bench, balances, capabilities: options.capabilities };
  const handlers: Handlers = {
    ...workshopHandlers(rooms),
    ...balanceHandlers(rooms),
    ...pourHandlers(rooms),
    ...recordHandlers(rooms),
    ...documentHandlers(store, options.capabilities),
  };
  await balances.takeUp();
  takeUpInterrupted(rooms);
  return {
    call: (name, input) => answer(handlers, name, input),
    onBench: (listener) => bench.onView(listener),
    close: async () => {
      await balances.stop();
      await bench.detach();
      store.close();
    },
  };
}

const isCall = (name: string): name is CallName => Object.hasOwn(TABLE, name);

async function answer(handlers: Handlers, name: string, input: unknown): Promise<HostReply> {
  try {
    if (!isCall(name)) throw new HostTrouble(`There is no call "${name}".`, 'window', 'Reload the window.');
    const { input: wanted, output } = TABLE[name];
    const handler = handlers[name] as (given: unknown) => unknown;
    return { ok: true, value: output.parse(await handler(wanted.parse(input))) };
  } catch (cause) {
    return { ok: false, trouble: troubleOf(cause, name) };
  }
}
