import { randomInt, randomUUID } from 'node:crypto';
import allergens from '../../fixtures/references/allergens.json' with { type: 'json' };
import packageJson from '../../package.json' with { type: 'json' };
import { Balances } from './balances.ts';
import { Benches, balanceSetting } from './benches.ts';
import { careHandlers } from './care/handlers.ts';
import { cautionRule, keepCautionRule } from './cautions.ts';
import { commandOf } from './commanding.ts';
import { shelfOffer, shelve } from './dilutions.ts';
import { documentHandlers } from './document-handlers.ts';
import { openDropBooks } from './drop-book.ts';
import { Files } from './exchange/files.ts';
import { loadDemo } from './exchange/first-run.ts';
import { exchangeHandlers } from './exchange/handlers.ts';
import { formulaHandlers } from './formulas/handlers.ts';
import { labelHandlers } from './labels/handlers.ts';
import { organHandlers } from './organ/handlers.ts';
import { draw } from './planning.ts';
import { practiceBenchHandlers } from './practice/bench.ts';
import { practiceHandlers } from './practice/handlers.ts';
import { isPractice, machineBench, Practising } from './practice/practising.ts';
import { declarationView, recordOf, recordView } from './record-view.ts';
import { balanceFacts, besideOf, type Capabilities, type Handlers, placeOf, type Rooms } from './rooms.ts';
import { Bench } from './session.ts';
import { sheetHandlers } from './sheet-handlers.ts';
import { openStore, type Store } from './store/store.ts';
import { type BenchView, type CallName, type Input, TABLE, type Trouble } from './table.ts';
import { HostTrouble, troubleOf } from './trouble.ts';

export interface HostOptions {
  /** Folder of the database. */
  readonly data: string;
  readonly capabilities: Capabilities;
  /** An empty folder begins with the demo workshop and, where no balance was chosen, the simulated one. */
  readonly demo?: boolean;
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

function workshopHandlers(rooms: Rooms) {
  const { store, capabilities } = rooms;
  return {
    'app.capabilities': () => ({
      version: packageJson.version,
      saveDialog: capabilities.saveDialog !== null,
      menu: capabilities.menu,
      data: store.folder,
    }),
  };
}

function benchHandlers({ benches, practising }: Rooms) {
  const rows = () => benches.rows((id) => practising.lessonAt(id));
  return {
    'benches.list': rows,
    'benches.add': () => {
      benches.add();
      return rows();
    },
    'benches.remove': async ({ id }: Input<'benches.remove'>) => {
      practising.expectNoLesson(id);
      await benches.remove(id);
      return rows();
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
    'balance.find': ({ path, byKey }: Input<'balance.find'>) => balances.find(path, byKey === true),
    'balance.questions': ({ shape }: Input<'balance.questions'>) => balances.questions(shape),
    'balance.ask': ({ path, shape }: Input<'balance.ask'>) => balances.ask(path, shape),
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
  const { bench, balances, benches } = rooms;
  return {
    'bench.view': () => bench.view(),
    'cautions.rule': () => ({ rule: cautionRule(rooms.store.workshop) }),
    'cautions.choose': ({ rule }: Input<'cautions.choose'>) => ({
      rule: keepCautionRule(rooms.store.workshop, rule),
    }),
    'pour.start': ({ operator, cautions, ...draft }: Input<'pour.start'>) => {
      const place = placeOf(rooms);
      const { formula, plan } = draw(draft, place);
      bench.start({
        formula,
        planned: { plan, limits: place.limits },
        materials: place.workshop.materials,
        lots: place.workshop.lots,
        operator: operator?.trim() || 'not named',
        balance: balanceFacts(rooms),
        cautions: cautions ?? cautionRule(rooms.store.workshop),
      });
      benches.remember(rooms);
      return bench.view();
    },
    'pour.take-up': ({ batch }: Input<'pour.take-up'>) => {
      benches.expectFree(batch, rooms);
      bench.takeUp(batch);
      benches.remember(rooms);
      balances.putBack();
      return bench.view();
    },
    'pour.do': (input: Input<'pour.do'>) => {
      if (input.do === 'settle') bench.settleAnew();
      else bench.do(commandOf(input, bench.settling.settled, besideOf(rooms)));
      return bench.view();
    },
    'pour.drops': ({ count }: Input<'pour.drops'>) => {
      bench.learnDrops(count);
      return bench.view();
    },
    'pour.pipette': ({ name }: Input<'pour.pipette'>) => {
      bench.usePipette(name);
      return bench.view();
    },
    'pour.leave': () => {
      bench.leave();
      benches.remember(rooms);
      return bench.view();
    },
  };
}

function recordHandlers({ store }: Rooms) {
  return {
    'records.open': ({ batch }: Input<'records.open'>) => recordView(store, batch),
    'records.shelf': ({ batch }: Input<'records.shelf'>) => shelfOffer(store.journal, store.workshop, batch),
    'records.shelve': ({ batch, code, name }: Input<'records.shelve'>) => ({
      back: shelve(store.journal, store.workshop, batch, { code, name }),
    }),
    'records.declaration': (ask: Input<'records.declaration'>) =>
      declarationView(recordOf(store.journal, ask.batch), ask, allergens),
  };
}

/** The bench a call names, and its input without it. */
function ofBench(input: unknown): { id?: string; rest: unknown } {
  if (typeof input !== 'object' || input === null || !('bench' in input)) return { rest: input };
  const { bench, ...rest } = input;
  if (typeof bench === 'string') return { id: bench, rest };
  throw new HostTrouble('A bench is named by its number, as text.', 'bench', 'Reload the window.');
}

/** The store, with the demo in it where it is wanted. */
function opened({ data, demo }: HostOptions): Store {
  const store = openStore(data);
  try {
    if (demo === true) loadDemo(store, new Date().toISOString());
    return store;
  } catch (cause) {
    store.close();
    throw cause;
  }
}

/**
 * Opens the host on a data folder: the store, the remembered balance, and an interrupted batch.
 * @throws StoreTrouble when folder or database cannot be used, HostTrouble when the demo is wanted where another
 * workshop is; both carry what to do next
 */
export async function openHost(options: HostOptions): Promise<Host> {
  const store = opened(options);
  const drops = openDropBooks(store.workshop);
  const benches = new Benches(store.workshop, (id) => {
    const bench = new Bench({
      journal: store.journal,
      drops: drops(id),
      now: () => Date.now(),
      newId: () => randomUUID(),
    });
    const seed = () => randomInt(1, 2 ** 31);
    return { bench, balances: new Balances(bench, store.workshop, seed, { setting: balanceSetting(id) }) };
  });
  const files = new Files();
  const practising = new Practising(store, benches);
  const { capabilities } = options;
  const handlersAt = (id: string | undefined): Handlers => {
    const place = benches.at(id === undefined ? id : machineBench(id));
    const rooms: Rooms = { ...place, store, benches, practising, capabilities, files };
    return {
      ...workshopHandlers(rooms),
      ...benchHandlers(rooms),
      ...balanceHandlers(rooms),
      ...pourHandlers(rooms),
      ...sheetHandlers(rooms),
      ...recordHandlers(rooms),
      ...documentHandlers(rooms),
      ...organHandlers(rooms),
      ...formulaHandlers(rooms),
      ...exchangeHandlers(rooms),
      ...labelHandlers(rooms),
      ...careHandlers(rooms),
      ...practiceHandlers(rooms),
      ...(isPractice(id) ? practiceBenchHandlers(rooms) : {}),
    };
  };
  const { balances: first } = benches.at();
  if (options.demo === true && first.chosen() === null) await first.choose({ kind: 'simulated' });
  else await first.takeUp();
  for (const { balances } of benches.all.slice(1)) await balances.takeUp();
  benches.takeUpInterrupted(store.catalog.open().map((row) => row.id));
  return {
    call: (name, input) => answer(handlersAt, name, input),
    onBench: (listener) => {
      const stops = [benches.onView(listener), practising.onView(listener)];
      return () => {
        for (const stop of stops) stop();
      };
    },
    close: async () => {
      await practising.close();
      await benches.close();
      store.close();
    },
  };
}

const isCall = (name: string): name is CallName => Object.hasOwn(TABLE, name);

/** A view goes out with the bench it is of. */
function withBench(value: unknown, id: string | undefined): unknown {
  const isView = typeof value === 'object' && value !== null && 'live' in value && 'pour' in value;
  return isView && id !== undefined ? { ...value, bench: id } : value;
}

async function answer(
  handlersAt: (bench: string | undefined) => Handlers,
  name: string,
  input: unknown,
): Promise<HostReply> {
  try {
    if (!isCall(name)) throw new HostTrouble(`There is no call "${name}".`, 'window', 'Reload the window.');
    const { input: wanted, output } = TABLE[name];
    const { id, rest } = ofBench(input);
    const handler = handlersAt(id)[name] as (given: unknown) => unknown;
    return { ok: true, value: output.parse(withBench(await handler(wanted.parse(rest)), id)) };
  } catch (cause) {
    return { ok: false, trouble: troubleOf(cause, name) };
  }
}
