import { describe, expect, it } from 'vitest';
import type { Observation } from '../../../core/weighing/reading.ts';
import { typedBalance } from '../../../drivers/link/typed.ts';
import { SteppedClock } from '../../../drivers/simulated/clock.ts';

function typing() {
  const clock = new SteppedClock();
  const balance = typedBalance({ clock });
  const all: Observation[] = [];
  balance.onObservation((one) => all.push(one));
  balance.start();
  return { clock, balance, all };
}

describe('typed figures', () => {
  it.each([
    ['12.34', '12.34', 'g'],
    ['12,34', '12.34', 'g'],
    [' - 0.05 g', '-0.05', 'g'],
    ['0.250 kg', '250', 'kg'],
    ['+007.10', '7.10', 'g'],
    ['1.00ct', '0.200', 'ct'],
  ])('"%s" is %s g', (text, g, unit) => {
    const { balance, all } = typing();
    balance.type(text);
    expect(all).toEqual([
      expect.objectContaining({ kind: 'weight', g, unit, stable: true, typed: true, raw: text.trim() }),
    ]);
  });

  it.each([
    ['', 'not a figure'],
    ['12.3.4', 'not a figure'],
    ['1e3', 'not a figure'],
    ['12.34 st', 'unit "st"'],
    ['twelve', 'not a figure'],
  ])('refuses "%s" and tells nothing of it', (text, why) => {
    const { balance, all } = typing();
    balance.type('5.00');
    expect(() => balance.type(text)).toThrow(why);
    expect(all).toHaveLength(1);
  });

  it('is one reading for each entry: none before the first, none repeated, none after the end', async () => {
    const { clock, balance, all } = typing();
    clock.advance(1000);
    expect(all).toEqual([]);
    balance.type('5.00');
    clock.advance(1000);
    expect(all).toHaveLength(1);
    balance.type('5.50');
    expect(all.at(-1)).toMatchObject({ g: '5.50' });
    await balance.stop();
    expect(() => balance.type('6.00')).toThrow('No figure is awaited');
    expect(all).toHaveLength(2);
    expect(balance.state.kind).toBe('none');
  });

  it('says that keys are to be pressed on the balance', async () => {
    await expect(typing().balance.press('tare')).rejects.toMatchObject({ kind: 'unsupported' });
  });
});
