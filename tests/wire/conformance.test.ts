import { describe, expect, it, onTestFinished } from 'vitest';
import type { Balance } from '../../drivers/link/balance.ts';
import { hidBalance } from '../../drivers/link/hid.ts';
import { serialBalance } from '../../drivers/link/serial.ts';
import { typedBalance } from '../../drivers/link/typed.ts';
import { ROOMS } from '../../drivers/simulated/physics.ts';
import { simulatedBalance } from '../../drivers/simulated/simulated-balance.ts';
import { listening, served } from './pan.ts';
import { standInScale } from './stand-in-scale.ts';

/** One suite for every way to a balance. A real one is named by BALANCE_PORT, BALANCE_SHAPE and BALANCE_LINE. */
interface Way {
  readonly name: string;
  /** Why it cannot run here; null when it can. */
  readonly missing: string | null;
  readonly open: () => Promise<{ balance: Balance; load: (() => void) | null }>;
  readonly keys: boolean;
  /** Readings that are waited for: a stream gives many, an entry gives one. */
  readonly least: number;
}

const {
  BALANCE_PORT: port,
  BALANCE_SHAPE: shape = 'recognise',
  BALANCE_LINE: line = '9600 8N1',
} = process.env;

const WAYS: readonly Way[] = [
  {
    name: 'simulated',
    missing: null,
    keys: true,
    least: 12,
    open: async () => {
      const balance = simulatedBalance({ room: ROOMS.still });
      return { balance, load: () => balance.controls.putVessel(48.5) };
    },
  },
  {
    name: 'pseudo-terminal',
    missing: process.platform === 'win32' ? 'Windows has no pseudo-terminals that open as a port' : null,
    keys: true,
    least: 12,
    open: async () => {
      const { instrument, port: pty } = await served(onTestFinished);
      const balance = serialBalance({ path: pty.path, shape: 'comma-headed', line: '9600 8N1' });
      return { balance, load: () => instrument.controls.putVessel(48.5) };
    },
  },
  {
    name: 'pseudo-terminal, only when asked',
    missing: process.platform === 'win32' ? 'Windows has no pseudo-terminals that open as a port' : null,
    keys: true,
    least: 12,
    open: async () => {
      const { instrument, port: pty } = await served(onTestFinished, {
        shape: 'status-letter',
        streams: false,
      });
      const balance = serialBalance({
        path: pty.path,
        shape: 'status-letter',
        line: '9600 8N1',
        ask: 'SI\r\n',
      });
      return { balance, load: () => instrument.controls.putVessel(48.5) };
    },
  },
  {
    name: 'pseudo-terminal, by its print key',
    missing: process.platform === 'win32' ? 'Windows has no pseudo-terminals that open as a port' : null,
    keys: false,
    least: 1,
    open: async () => {
      const { instrument, port: pty } = await served(onTestFinished, {
        streams: false,
        hears: false,
      });
      const balance = serialBalance({ path: pty.path, shape: 'comma-headed', line: '9600 8N1', byKey: true });
      /* A hand at the key: pressed until a line has come, and again for each load. */
      const print = (): void => {
        const pressing = setInterval(() => instrument.press('print'), 200);
        const end = balance.onObservation(() => {
          clearInterval(pressing);
          end();
        });
        onTestFinished(() => clearInterval(pressing));
      };
      balance.onState(({ kind }) => kind === 'live' && print());
      return {
        balance,
        load: () => {
          instrument.controls.putVessel(48.5);
          setTimeout(print, 2000);
        },
      };
    },
  },
  {
    name: 'USB scale, its library stood in for',
    missing: null,
    keys: false,
    least: 12,
    open: async () => {
      const { library, load } = standInScale(onTestFinished);
      return { balance: hidBalance({ path: '/dev/hidraw-stand-in', library }), load: () => load(4850) };
    },
  },
  {
    name: 'typed',
    missing: null,
    keys: false,
    least: 1,
    open: async () => {
      const balance = typedBalance();
      balance.onState(({ kind }) => kind === 'live' && queueMicrotask(() => balance.type('0.00')));
      return { balance, load: () => balance.type('48.50') };
    },
  },
  {
    name: 'real balance',
    missing: port === undefined ? 'no BALANCE_PORT is set' : null,
    keys: true,
    least: 12,
    open: async () => ({ balance: serialBalance({ path: port ?? '', shape, line }), load: null }),
  },
];

for (const way of WAYS) {
  if (way.missing !== null) console.warn(`skipped: conformance on the ${way.name}, because ${way.missing}`);
  describe.skipIf(way.missing !== null)(`a balance by way of: ${way.name}`, () => {
    it('is nothing before start, live after, and nothing again after stop', async () => {
      const { balance } = await way.open();
      expect(balance.state).toEqual({ kind: 'none' });
      const { observations } = listening(onTestFinished, balance);
      await expect.poll(() => balance.state.kind, { timeout: 5000 }).toBe('live');
      await expect
        .poll(() => observations.some((one) => one.kind === 'weight'), { timeout: 5000 })
        .toBe(true);
      await balance.stop();
      expect(balance.state).toEqual({ kind: 'none' });
      const count = observations.length;
      await new Promise((resolve) => setTimeout(resolve, 500));
      expect(observations.length).toBe(count);
    });

    it('gives weights that hold together: grams of figure and unit, digits counted, time not going back', async () => {
      const { balance, load } = await way.open();
      const { observations } = listening(onTestFinished, balance);
      await expect.poll(() => observations.length, { timeout: 5000 }).toBeGreaterThan(0);
      load?.();
      await expect.poll(() => observations.length, { timeout: 8000 }).toBeGreaterThan(way.least);
      let before = 0;
      for (const one of observations) {
        expect(one.at).toBeGreaterThanOrEqual(before);
        before = one.at;
        if (one.kind !== 'weight') continue;
        expect(one.figure).toMatch(/^-?\d+(\.\d+)?$/);
        expect(one.figure.split('.')[1]?.length ?? 0).toBe(one.digits);
        if (one.unit === 'g') expect(one.g).toBe(one.figure);
      }
      expect(observations.filter((one) => one.kind === 'refused')).toEqual([]);
    });

    it('comes to rest on what lies on it', async ({ skip }) => {
      const { balance, load } = await way.open();
      if (load === null) skip('a real balance is loaded by hand');
      const { observations } = listening(onTestFinished, balance);
      await expect.poll(() => observations.length, { timeout: 5000 }).toBeGreaterThan(0);
      load?.();
      await expect
        .poll(() => observations.at(-1), { timeout: 8000 })
        .toMatchObject({ kind: 'weight', g: '48.50', stable: true });
    });

    it('stops listeners that asked to be stopped, and can be stopped twice', async () => {
      const { balance } = await way.open();
      let heard = 0;
      const end = balance.onObservation(() => {
        heard += 1;
      });
      listening(onTestFinished, balance);
      await expect.poll(() => heard, { timeout: 5000 }).toBeGreaterThan(0);
      end();
      const count = heard;
      await new Promise((resolve) => setTimeout(resolve, 500));
      expect(heard).toBe(count);
      await balance.stop();
      await balance.stop();
    });

    it(way.keys ? 'presses tare' : 'says that tare is pressed on the balance', async () => {
      const { balance } = await way.open();
      const { observations } = listening(onTestFinished, balance);
      await expect.poll(() => balance.state.kind, { timeout: 5000 }).toBe('live');
      if (!way.keys) await expect(balance.press('tare')).rejects.toMatchObject({ kind: 'unsupported' });
      else {
        await balance.press('tare');
        await expect
          .poll(() => observations.at(-1), { timeout: 8000 })
          .toMatchObject({ kind: 'weight', figure: expect.stringMatching(/^-?0\.0+$/) });
      }
    });
  });
}
