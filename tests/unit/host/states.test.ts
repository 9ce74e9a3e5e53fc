import { describe, expect, it } from 'vitest';
import type { PourEvent } from '../../../core/pour/events.ts';
import { lineOf, type PourState } from '../../../core/pour/state.ts';
import { pourWindow } from '../../../core/pour/window.ts';
import { memoryJournal } from '../../bench/memory-journal.ts';
import { TestBench } from './test-bench.ts';

/** A bench with a pan: what lies on it, and where the display has its zero. */
class Scene extends TestBench {
  mass = 0;
  zero = 0;

  constructor() {
    const journal = memoryJournal();
    super(() => ({ journal }));
  }

  get display(): string {
    return (this.mass - this.zero).toFixed(2).replace('-0.00', '0.00');
  }

  /** Three seconds at rest. */
  rest(): void {
    for (let n = 0; n < 30; n += 1) this.balance.read(this.display);
  }

  /** So much lies on the pan from now on, g, and comes to rest. */
  load(mass: number): void {
    this.mass = mass;
    this.rest();
  }

  get state(): PourState {
    const { batch } = this.bench;
    if (batch === null) throw new Error('no batch is on the bench');
    return batch.state;
  }

  async open(): Promise<void> {
    await this.attach();
    this.begin();
    this.rest();
  }

  weighed(): void {
    this.load(50);
    this.do({ type: 'confirm-vessel', settled: this.settled });
  }

  /** Does the next thing as the screen asks for it, exactly. @returns whether something was left to do */
  next(): boolean {
    const { state } = this;
    switch (state.phase) {
      case 'vessel':
        this.weighed();
        return true;
      case 'bottle':
        this.takeBottle();
        return true;
      case 'pouring': {
        const line = lineOf(state, state.inHand?.line ?? '');
        const poured = Number(this.display) - Number(state.inHand?.before);
        this.load(this.mass + Number(pourWindow(state, line).aim) - poured);
        return true;
      }
      case 'over':
        this.do({ type: 'choose', choice: 'exact' });
        return true;
      case 'withdrawing': {
        const taken = Number(state.withdrawing?.before) - Number(this.display);
        this.load(this.mass - (Number(state.withdrawing?.aim) - taken));
        return true;
      }
      case 'closing':
        this.do({ type: 'close', settled: this.settled });
        return true;
      default:
        return false;
    }
  }

  /** What was poured of each line, and what was taken out, by the record. */
  get nets(): string[] {
    const { pours, withdrawn } = this.state;
    return [...pours.map((one) => `${one.line} ${one.net}`), `out ${withdrawn}`];
  }
}

const pouredTo = (scene: Scene, gross: number): void => {
  scene.weighed();
  scene.takeBottle();
  scene.load(gross);
};

/** Brings a batch into each state of a pour. */
const STATES: Readonly<Record<string, (scene: Scene) => void>> = {
  vessel: () => {},
  bottle: (scene) => {
    scene.weighed();
    scene.rest();
  },
  approach: (scene) => pouredTo(scene, 50.8),
  settling: (scene) => {
    pouredTo(scene, 50.8);
    for (const mass of [51.2, 51.5, 51.7, 51.8]) {
      scene.mass = mass;
      scene.balance.read(scene.display);
    }
  },
  captured: (scene) => pouredTo(scene, 52),
  over: (scene) => pouredTo(scene, 52.3),
  correction: (scene) => {
    pouredTo(scene, 52);
    scene.takeBottle();
    scene.load(71);
    scene.do({ type: 'choose', choice: 'exact' });
  },
  withdrawing: (scene) => {
    pouredTo(scene, 52.3);
    scene.do({ type: 'choose', choice: 'withdraw-unmixed' });
    scene.load(52.2);
  },
  closing: (scene) => {
    pouredTo(scene, 52);
    scene.takeBottle();
    scene.load(70);
  },
  checking: (scene) => {
    STATES.closing?.(scene);
    scene.do({ type: 'weigh-off', settled: scene.settled });
  },
  done: (scene) => {
    STATES.closing?.(scene);
    scene.do({ type: 'close', settled: scene.settled });
  },
};

interface Interruption {
  /** It happens, up to the moment at which the person looks at the screen. */
  readonly happens: (scene: Scene) => void | Promise<void>;
  /** What the screen says of it; null where what it says is told by the state that is shown. */
  readonly told: RegExp | null;
  /** What the person does about it, as the screen says. */
  readonly mended: (scene: Scene) => void | Promise<void>;
  /** What the record has of it, in this order. */
  readonly kept: readonly string[];
  /** States in which it means nothing or something else, each with what. */
  readonly except?: Readonly<Record<string, string>>;
}

const ENDED = 'the batch has ended: nothing is added to its record';
const NO_VESSEL = 'no vessel is expected on the pan yet';
const TAKEN = 'the closing values are taken: the vessel may go';

const away = async (scene: Scene): Promise<void> => {
  scene.start();
  scene.minutes(5);
  scene.bench.takeUp('batch-1');
  await scene.attach();
  scene.rest();
};

const resume = (scene: Scene): void => scene.do({ type: 'resume', settled: scene.settled });
const pause = (scene: Scene): void => scene.do({ type: 'pause', why: 'by hand', settled: scene.settled });

const INTERRUPTIONS: Readonly<Record<string, Interruption>> = {
  'a pause': {
    happens: (scene) => {
      pause(scene);
      scene.rest();
    },
    told: /^Paused: by hand\. Keep the vessel covered/,
    mended: resume,
    kept: ['paused', 'resumed'],
    except: { done: ENDED },
  },
  'a lost balance': {
    happens: ({ balance }) => balance.link({ kind: 'lost', what: 'x', why: 'unplugged', retrying: true }),
    told: /^Balance lost: unplugged\. Leave the vessel where it is; the pour goes on when it is back/,
    mended: (scene) => {
      scene.balance.start();
      scene.rest();
    },
    kept: ['balance-lost', 'balance-back'],
    except: { done: ENDED },
  },
  'an overload': {
    happens: ({ balance }) => {
      for (let n = 0; n < 5; n += 1) balance.say({ kind: 'out-of-range', way: 'over', at: balance.tick() });
    },
    told: /^Too heavy for the balance/,
    mended: (scene) => scene.rest(),
    kept: ['noticed overload'],
    except: { done: ENDED },
  },
  'a wrong unit': {
    happens: ({ balance, display }) => {
      for (let n = 0; n < 3; n += 1)
        balance.say({
          ...balance.reading(display),
          unit: 'oz',
          figure: (Number(display) / 28.35).toFixed(3),
        });
    },
    told: /^Look at the display: the display changed from g to oz/,
    mended: (scene) => scene.rest(),
    kept: ['noticed unit changed', 'noticed unit changed'],
    except: { done: ENDED },
  },
  'count mode': {
    happens: ({ balance }) => {
      for (let n = 0; n < 5; n += 1)
        balance.say({ kind: 'not-a-weight', what: 'it counts pieces', at: balance.tick() });
    },
    told: /^No weight on the display: it counts pieces/,
    mended: (scene) => scene.rest(),
    kept: ['noticed not a weight'],
    except: { done: ENDED },
  },
  'a vessel lifted': {
    happens: (scene) => {
      scene.through((30 - scene.zero).toFixed(2), (12 - scene.zero).toFixed(2));
      for (let n = 0; n < 30; n += 1) scene.balance.read((-scene.zero).toFixed(2).replace('-0.00', '0.00'));
    },
    told: /^The vessel is off the balance\. Put it back in the middle of the pan/,
    mended: (scene) => scene.rest(),
    kept: ['vessel-lifted', 'vessel-returned'],
    except: { vessel: NO_VESSEL, checking: TAKEN, done: ENDED },
  },
  'a touch': {
    happens: (scene) => {
      scene.through((scene.mass + 3 - scene.zero).toFixed(2));
      scene.rest();
    },
    told: /^Vessel or pan was touched; the reading came back/,
    mended: () => {},
    kept: ['noticed knock'],
    except: {
      vessel: NO_VESSEL,
      settling: 'nothing was at rest that it could come back to: it is watched like any other movement',
      checking: TAKEN,
      done: ENDED,
    },
  },
  'a display zeroed by hand': {
    happens: (scene) => {
      scene.zero = scene.mass;
      scene.rest();
    },
    told: /^The display was zeroed by hand\. It is counted from there/,
    mended: () => {},
    kept: ['re-zeroed'],
    except: {
      vessel: NO_VESSEL,
      settling: 'what fell just then is not known: that is said, and the figure is doubtful in the record',
      checking: TAKEN,
      done: ENDED,
    },
  },
  'drift while away': {
    happens: (scene) => {
      pause(scene);
      scene.minutes(10);
      scene.load(scene.mass + 0.15);
      resume(scene);
    },
    told: /^Not as it was left: \d+\.\d\d g where \d+(\.\d+)? g was left, 0\.15 g in 10 min/,
    mended: (scene) => scene.do({ type: 're-read', settled: scene.settled }),
    kept: ['paused', 'resumed', 'noticed gross differs after a time away', 're-read'],
    except: {
      vessel: NO_VESSEL,
      settling: 'nothing was at rest when it was paused: what is missing cannot be told from what was poured',
      checking: TAKEN,
      done: ENDED,
    },
  },
  'a break that is due': {
    happens: (scene) => {
      scene.minutes(46);
      scene.rest();
    },
    told: /^Break due: 15 minutes away from the bench/,
    mended: (scene) => {
      pause(scene);
      scene.minutes(15);
      scene.rest();
      resume(scene);
    },
    kept: ['paused', 'resumed', 'break-taken'],
    except: { done: ENDED },
  },
  'the program closed': {
    happens: async (scene) => {
      await scene.bench.detach();
      await away(scene);
    },
    told: null,
    mended: () => {},
    kept: [],
    except: { done: 'it has ended and is not taken up again' },
  },
  'a power cut': {
    happens: away,
    told: null,
    mended: () => {},
    kept: [],
    except: { done: 'it has ended and is not taken up again' },
  },
};

const nameOf = (event: PourEvent): string =>
  event.type === 'noticed' ? `noticed ${event.what}` : event.type;

const COUNTS = ['captured', 'revised', 'withdrawn', 'withdrawal-revised', 'voided', 'closed', 'pour-begun'];

/** A batch led from a state to its end. */
function finished(scene: Scene): string[] {
  for (let n = 0; n < 40 && scene.next(); n += 1);
  expect(scene.state.phase).toBe('closed');
  return scene.nets;
}

async function inState(name: string): Promise<Scene> {
  const scene = new Scene();
  await scene.open();
  STATES[name]?.(scene);
  return scene;
}

const CELLS = Object.keys(STATES).flatMap((state) =>
  Object.entries(INTERRUPTIONS)
    .filter(([, { except }]) => except?.[state] === undefined)
    .map(([name, interruption]) => ({ state, name, interruption })),
);

describe('every state of a pour under every interruption', () => {
  it.each(CELLS)(
    'given $state, when there is $name, then it is told, kept, and the pour ends as without it',
    async ({ state, interruption }) => {
      const alone = finished(await inState(state));
      const scene = await inState(state);
      const before = scene.events().length;
      await interruption.happens(scene);
      const { notice } = scene;
      if (interruption.told === null) expect(scene.view().pour?.hint).not.toBe('');
      else expect(notice?.text).toMatch(interruption.told);
      await interruption.mended(scene);
      const since = scene.events().slice(before).map(nameOf);
      expect(since.filter((one) => COUNTS.includes(one) || one.endsWith('checked'))).toEqual([]);
      expect(since.filter((one) => one !== 'confirmed')).toEqual(interruption.kept);
      expect(finished(scene)).toEqual(alone);
    },
  );

  const quiet = Object.entries(INTERRUPTIONS).flatMap(([name, interruption]) =>
    Object.entries(interruption.except ?? {}).map(([state, why]) => ({ state, name, why, interruption })),
  );

  it.each(quiet.filter(({ why, name }) => why === ENDED || (why === NO_VESSEL && !name.startsWith('drift'))))(
    'given $state, when there is $name, then $why',
    async ({ state, interruption }) => {
      const scene = await inState(state);
      const before = scene.types();
      try {
        await interruption.happens(scene);
      } catch (refused) {
        expect(refused).toMatchObject({ name: 'PourRefusal' });
      }
      expect(scene.types()).toEqual(before);
    },
  );
});
