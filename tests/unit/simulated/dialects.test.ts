import { describe, expect, it } from 'vitest';
import type { Observation } from '../../../core/weighing/reading.ts';
import { SHAPES } from '../../../drivers/frames/shapes.ts';
import { SteppedClock } from '../../../drivers/simulated/clock.ts';
import { DIALECTS } from '../../../drivers/simulated/dialects.ts';
import { FAULTS, type FaultName } from '../../../drivers/simulated/faults.ts';
import { MODELS, ROOMS } from '../../../drivers/simulated/physics.ts';
import { simulatedBalance } from '../../../drivers/simulated/simulated-balance.ts';

function bench(shape: string, model: keyof typeof MODELS = 'A') {
  const clock = new SteppedClock();
  const balance = simulatedBalance({ clock, shape, room: ROOMS.still, model: MODELS[model], unit: 'g' });
  const all: Observation[] = [];
  balance.onObservation((one) => all.push(one));
  balance.start();
  clock.advance(1500);
  const weights = () => all.flatMap((one) => (one.kind === 'weight' ? [one] : []));
  return { clock, balance, pan: balance.controls, all, weights };
}

it('speaks every shape there is', () => {
  expect(DIALECTS.map((one) => one.shape).sort()).toEqual(SHAPES.map((one) => one.name).sort());
});

describe.each(SHAPES.map((one) => [one.name, one] as const))('the simulated balance in %s', (name, shape) => {
  it.each(['A', 'C'] as const)('is read by that shape whole, to the last digit (type %s)', (model) => {
    const { clock, pan, all, weights } = bench(name, model);
    pan.putVessel(48.5);
    clock.advance(5000);
    const digits = MODELS[model].decimals;
    expect(weights().at(-1)).toMatchObject({ digits, unit: 'g' });
    expect(Math.abs(Number(weights().at(-1)?.g) - 48.5)).toBeLessThan(0.011);
    expect(weights().at(-1)?.stable).not.toBe(false);
    expect(all.filter((one) => one.kind === 'refused')).toEqual([]);
  });

  it('says moving while it moves, or nothing', () => {
    const { clock, pan, weights } = bench(name);
    const since = clock.now() + 350;
    pan.stream(5);
    clock.advance(3000);
    const moving = weights().filter((one) => one.at > since);
    expect(moving.filter((one) => one.stable === true)).toEqual([]);
  });

  it('obeys the commands its row knows', async () => {
    const { clock, balance, pan, all, weights } = bench(name);
    pan.putVessel(20);
    clock.advance(4000);
    if (shape.commands.tare !== undefined) {
      await balance.press('tare');
      clock.advance(300);
      expect(weights().at(-1)?.figure).toBe('0.00');
    }
    if (shape.commands.zero !== undefined && shape.commands.zero !== shape.commands.tare) {
      pan.liftVessel();
      clock.advance(4000);
      await balance.press('zero');
      clock.advance(300);
      expect(weights().at(-1)?.figure).toBe('0.00');
    }
    const before = weights().length;
    if (shape.commands.now !== undefined) {
      balance.instrument.receive(Buffer.from(shape.commands.now, 'latin1'));
      expect(weights().length).toBe(before + 1);
    }
    expect(all.filter((one) => one.kind === 'refused' || one.kind === 'fault')).toEqual([]);
  });

  it('says over beyond its capacity, and never a weight', () => {
    const { clock, pan, all } = bench(name);
    pan.putVessel(2000);
    clock.advance(4000);
    const from = all.length;
    clock.advance(1000);
    expect(all.slice(from).filter((one) => one.kind === 'weight')).toEqual([]);
  });
});

describe.each(Object.keys(FAULTS) as FaultName[])('the fault "%s"', (fault) => {
  const withFault = (shape: string) => {
    const found = bench(shape);
    found.pan.putVessel(48.5);
    found.clock.advance(4000);
    found.balance.instrument.setFault(fault);
    found.clock.advance(300);
    const from = found.all.length;
    found.clock.advance(30_000);
    return { ...found, since: found.all.slice(from) };
  };

  it('never gives a weight in grams that the display did not show', () => {
    for (const shape of ['comma-headed', 'status-letter', 'marker-first', 'letters-behind', 'sign-first']) {
      const { since } = withFault(shape);
      const wrong = since.filter(
        (one) =>
          one.kind === 'weight' && Math.abs(Number(one.g) - 48.5) > (fault === 'slow-drip' ? 0.07 : 0.011),
      );
      if (fault === 'parity-noise') expect(wrong.length).toBeLessThan(since.length / 10);
      else expect([shape, wrong]).toEqual([shape, []]);
    }
  });

  it('ends when it is set right', () => {
    const { balance, clock, weights } = withFault('comma-headed');
    balance.instrument.setFault(null);
    clock.advance(1000);
    expect(weights().at(-1)?.at).toBeGreaterThan(clock.now() - 200);
  });
});

it('refuses a fault that the shape cannot show', () => {
  const { balance } = bench('framed-digits');
  expect(() => balance.instrument.setFault('wrong-unit')).toThrow('has no "wrong-unit"');
});
