import { openStore } from '../host/store/store.ts';
import { rewriteRecord, runBatch, type What } from './batch.ts';
import type { OnOverpour } from './pilot.ts';
import { formulaFrom } from './plan.ts';
import { type Rig, serialRig, simulatedRig } from './rig.ts';
import type { Talk } from './talk.ts';

export interface PourOptions {
  /** Formula file; null takes up the interrupted batch. */
  readonly formula: string | null;
  readonly batch: string | null;
  /** Path of the port, or "simulated". */
  readonly port: string;
  readonly shape: string;
  readonly line: string;
  readonly onOverpour: OnOverpour;
  readonly tared: boolean;
  readonly operator: string;
  /** How fast the simulated balance's time runs; 1 is life. */
  readonly speed: number;
  /** Folder of the database and the record. */
  readonly out: string;
}

const openRig = async ({ port, shape, line, speed }: PourOptions): Promise<Rig> =>
  port === 'simulated' ? simulatedRig(speed) : serialRig({ path: port, shape, line });

/** What is poured; read before anything is opened, so that wrong input leaves nothing behind. */
const whatOf = ({ formula, batch, operator }: PourOptions): What =>
  formula === null ? 'the interrupted one' : { ...formulaFrom(formula, batch), operator };

/**
 * Pours a formula by itself and leaves database and record in a folder.
 * @returns 0 when the batch is closed, 1 when it is not
 * @throws WrongInput, FormulaTrouble, LinkTrouble, StoreTrouble; Unfinished when nothing can be poured
 */
export async function pour(options: PourOptions, talk: Talk): Promise<number> {
  const what = whatOf(options);
  const rig = await openRig(options);
  try {
    const store = openStore(options.out);
    try {
      if (what === 'the interrupted one' && rewriteRecord(store, talk)) return 0;
      return (await runBatch(store, rig, { ...options, what }, talk)) ? 0 : 1;
    } finally {
      store.close();
    }
  } finally {
    await rig.close();
  }
}
