import type { LinkState, Observation } from '../../core/weighing/reading.ts';
import { shapeNamed } from '../frames/shapes.ts';
import { type Balance, type BalanceKey, LinkTrouble } from '../link/balance.ts';
import { Intake } from '../link/intake.ts';
import { LinkSignals } from '../link/signals.ts';
import { realClock } from './clock.ts';
import { Instrument, type InstrumentOptions } from './instrument.ts';
import type { PanControls } from './pan.ts';

/** A balance without hardware, with its pan at hand. */
export interface SimulatedBalance extends Balance {
  readonly controls: PanControls;
  readonly instrument: Instrument;
}

/**
 * A simulated balance behind the same interface as a real one. Its readings go the whole way: bytes as the shape
 * sends them, framer, shape.
 * @param options `unit` is the unit of the display as the person says it, for shapes that never send one
 * @throws LinkTrouble "unknown-shape"
 */
export function simulatedBalance(
  options: InstrumentOptions & { readonly unit?: string } = {},
): SimulatedBalance {
  const instrument = new Instrument(options);
  const clock = options.clock ?? realClock;
  const shape = shapeNamed(instrument.dialect.shape);
  const what = 'simulated balance';
  const signals = new LinkSignals();
  let end: (() => void) | null = null;

  return {
    what,
    instrument,
    controls: instrument.controls,
    get state(): LinkState {
      return signals.state;
    },
    onObservation: (listener: (observation: Observation) => void) => signals.onObservation(listener),
    onState: (listener: (state: LinkState) => void) => signals.onState(listener),
    start() {
      if (end !== null) return;
      signals.set({ kind: 'opening', what });
      const intake = new Intake({ baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 }, shape, {
        said: options.unit ?? null,
      });
      end = instrument.onBytes((bytes) => {
        const { observations, understood } = intake.take(instrument.onTheWay(bytes), clock.now());
        const warning = intake.warning(clock.now());
        if (understood)
          signals.set({
            kind: 'live',
            what,
            shape: shape.name,
            ...(warning === null ? {} : { advice: warning }),
          });
        for (const observation of observations) signals.observe(observation);
      });
      instrument.start();
    },
    async press(key: BalanceKey) {
      if (end === null)
        throw new LinkTrouble('lost', 'The simulated balance is not running.', what, 'Start it first.');
      const command = shape.commands[key];
      if (command === undefined)
        throw new LinkTrouble(
          'unsupported',
          `The shape "${shape.name}" has no command for ${key}.`,
          what,
          'Choose another shape.',
        );
      instrument.receive(Buffer.from(command, 'latin1'));
    },
    async stop() {
      end?.();
      end = null;
      instrument.stop();
      signals.set({ kind: 'none' });
    },
  };
}
