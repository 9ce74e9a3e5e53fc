import { describe, expect, it } from 'vitest';
import type { Observation, Reading } from '../../../core/weighing/reading.ts';
import { SteppedClock } from '../../../drivers/simulated/clock.ts';
import type { InstrumentOptions } from '../../../drivers/simulated/instrument.ts';
import { MODELS, ROOMS } from '../../../drivers/simulated/physics.ts';
import { simulatedBalance } from '../../../drivers/simulated/simulated-balance.ts';

function bench(options: InstrumentOptions = {}) {
  const clock = new SteppedClock();
  const balance = simulatedBalance({ clock, room: ROOMS.still, ...options });
  const all: Observation[] = [];
  balance.onObservation((one) => all.push(one));
  balance.start();
  clock.advance(1500);
  const weights = (): Reading[] => all.flatMap((one) => (one.kind === 'weight' ? [one] : []));
  const last = (): string => weights().at(-1)?.g ?? '';
  return { clock, balance, pan: balance.controls, all, weights, last };
}

describe('the simulated balance', () => {
  it.each([
    ['A', 1.03],
    ['B', 0.87],
    ['C', 1.41],
    ['D', 2.06],
  ] as const)(
    'of type %s reaches 99.5 %% of a vessel in %f s, within its spread of 15 %%',
    (name, seconds) => {
      const model = MODELS[name];
      const { clock, pan, weights } = bench({ model, rateHz: 20 });
      const since = clock.now();
      pan.putVessel(50);
      clock.advance(6000);
      const reached = weights().find((one) => one.at > since && Math.abs(Number(one.g) - 50) < 0.25);
      const took = ((reached?.at ?? Number.POSITIVE_INFINITY) - since) / 1000;
      expect(took).toBeGreaterThan(seconds * 0.8 - 0.1);
      expect(took).toBeLessThan(seconds * 1.2 + 0.1);
    },
  );

  it('calls the reading moving while it moves, and at rest on the right figure', () => {
    const { clock, pan, weights } = bench();
    const since = clock.now();
    pan.putVessel(48.5);
    clock.advance(4000);
    const after = weights().filter((one) => one.at > since);
    expect(after[1]?.stable).toBe(false);
    expect(after.filter((one) => one.stable === true).map((one) => one.g)).toContain('48.50');
    const early = after.filter((one) => one.stable === true && Math.abs(Number(one.g) - 48.5) > 0.015);
    expect(early).toEqual([]);
  });

  it('counts one drop as one drop once its blow has passed', () => {
    const { clock, pan, last } = bench();
    pan.putVessel(40);
    clock.advance(3000);
    for (let k = 0; k < 10; k++) {
      pan.addDrop(0.03);
      clock.advance(600);
    }
    clock.advance(2000);
    expect(Number(last())).toBeCloseTo(40.3, 1);
    expect(Math.abs(Number(last()) - 40.31)).toBeLessThanOrEqual(0.02);
    expect(pan.truth().contents).toBeCloseTo(0.3, 9);
  });

  it('keeps what is in the vessel when it is lifted and put back, and gives it out by withdrawal only', () => {
    const { clock, pan, last } = bench();
    pan.putVessel(20);
    pan.stream(0.5);
    clock.advance(2000);
    pan.stream(0);
    pan.liftVessel();
    clock.advance(3000);
    expect(Math.abs(Number(last()))).toBeLessThanOrEqual(0.01);
    pan.putVessel();
    clock.advance(4000);
    expect(Number(last())).toBeCloseTo(21, 1);
    pan.withdraw(5);
    expect(pan.truth()).toEqual({ vessel: 20, contents: 0, onPan: true });
  });

  it('tares at rest, refuses while moving for five seconds, and sets zero only near zero', async () => {
    const { clock, pan, balance, all, last } = bench();
    pan.putVessel(30);
    clock.advance(3000);
    await balance.press('tare');
    clock.advance(200);
    expect(last()).toBe('0.00');
    await balance.press('zero');
    clock.advance(200);
    expect(all.filter((one) => one.kind === 'fault')).toHaveLength(1);
    pan.stream(1);
    clock.advance(1000);
    await balance.press('tare');
    clock.advance(4500);
    expect(all.filter((one) => one.kind === 'fault')).toHaveLength(1);
    clock.advance(1000);
    expect(all.filter((one) => one.kind === 'fault')).toHaveLength(2);
  });

  it('shows overload above its capacity by nine steps, and underload', () => {
    const { clock, pan, all } = bench();
    pan.putVessel(200.05);
    clock.advance(4000);
    expect(all.at(-1)).toMatchObject({ kind: 'weight', g: expect.stringMatching(/^200\.0[5-9]$/) });
    pan.putVessel(201);
    clock.advance(4000);
    expect(all.at(-1)).toMatchObject({ kind: 'out-of-range', way: 'over' });
    pan.liftVessel();
    pan.touch(-50);
    clock.advance(4000);
    expect(all.at(-1)).toMatchObject({ kind: 'out-of-range', way: 'under' });
  });

  it('swallows a slow seep after a tare, as zero tracking does, but not with a vessel on an untared pan', () => {
    const seep = (tare: boolean): number => {
      const { clock, pan, balance, last } = bench();
      pan.putVessel(30);
      clock.advance(5000);
      if (tare) void balance.press('tare');
      clock.advance(2000);
      const before = Number(last());
      pan.stream(0.002);
      clock.advance(60_000);
      pan.stream(0);
      clock.advance(3000);
      return Number(last()) - before;
    };
    expect(seep(true)).toBeLessThan(0.03);
    expect(seep(false)).toBeGreaterThan(0.1);
  });

  it('repeats a run with the same seed, byte for byte, and differs with another', () => {
    const run = (seed: number): string => {
      const { clock, pan, weights } = bench({ seed, room: ROOMS.draughty });
      pan.putVessel(25);
      clock.advance(20_000);
      return weights()
        .map((one) => one.raw)
        .join('\n');
    };
    expect(run(3)).toBe(run(3));
    expect(run(3)).not.toBe(run(4));
  });

  it('is restless in a draughty room and calm in a quiet one', () => {
    const spread = (room: keyof typeof ROOMS): number => {
      const { clock, pan, weights } = bench({ room: ROOMS[room], seed: 11 });
      pan.putVessel(25);
      clock.advance(10_000);
      const from = weights().length;
      clock.advance(60_000);
      const values = weights()
        .slice(from)
        .map((one) => Number(one.g));
      const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
      return Math.sqrt(values.reduce((sum, one) => sum + (one - mean) ** 2, 0) / values.length) / 0.01;
    };
    expect(spread('still')).toBeLessThan(0.5);
    expect(spread('draughty')).toBeGreaterThan(2 * spread('quiet'));
  });
});

describe('its commands', () => {
  it('answer now, at rest, on and off, and unknown ones with an error', () => {
    const { clock, balance, all, pan } = bench({ streams: false });
    const send = (text: string): void => balance.instrument.receive(Buffer.from(text));
    expect(all).toEqual([]);
    send('\r\nQ\r\n');
    expect(all).toHaveLength(1);
    pan.putVessel(30);
    clock.advance(100);
    send('S\r\n');
    clock.advance(100);
    expect(all).toHaveLength(1);
    clock.advance(4000);
    expect(all.slice(1)).toEqual([expect.objectContaining({ kind: 'weight', stable: true })]);
    send('SIR\r\n');
    clock.advance(1000);
    expect(all.length).toBe(12);
    send('C\r\n');
    clock.advance(1000);
    expect(all.length).toBe(12);
    send('XYZZY\r\n');
    expect(all.at(-1)).toMatchObject({ kind: 'fault', what: 'the balance does not know the command' });
  });
});
