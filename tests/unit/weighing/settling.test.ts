import { describe, expect, it } from 'vitest';
import { cleared, EQUAL_FOR_MS, EQUAL_READINGS, settle, unsettled } from '../../../core/weighing/settling.ts';
import { reading, Stream } from './stream.ts';

describe('the first figure', () => {
  it('given a clear buffer, when five readings are equal, then it is told as provisional', () => {
    const stream = new Stream().show('1.00', EQUAL_READINGS - 1);
    expect(stream.g).toBeNull();
    stream.show('1.00');
    expect(stream.state).toMatchObject({
      phase: 'provisional',
      settled: { g: '1.00', readings: EQUAL_READINGS },
    });
  });

  it('given twenty readings a second, when five are equal, then the time is waited for too', () => {
    const enough = Math.ceil(EQUAL_FOR_MS / 50) + 1;
    expect(new Stream(50).show('1.00', enough - 1).g).toBeNull();
    expect(new Stream(50).show('1.00', enough).g).toBe('1.00');
  });

  it('given another figure in between, then the count starts anew', () => {
    expect(new Stream().show('1.00', 4).show('1.01').show('1.00', 4).g).toBeNull();
  });

  it('given a balance that calls them moving, then equal figures wait, but not for ever', () => {
    const stream = new Stream().show('1.00', 14, false);
    expect(stream.g).toBeNull();
    expect(stream.show('1.00', 20, false).g).toBe('1.00');
  });

  it('given a balance that calls every reading stable, when the figure still walks, then nothing rests', () => {
    const stream = new Stream();
    for (let n = 0; n < 60; n++) stream.show((1 + 0.02 * n).toFixed(2), 1, true);
    expect(stream.told).toEqual([]);
  });
});

describe('a typed figure', () => {
  const typed = (g: string, at: number) => ({ ...reading(g, at, true), typed: true as const });

  it('is at rest at once, and its rule says that it was typed', () => {
    const state = settle(unsettled, typed('1.00', 100));
    expect(state).toMatchObject({
      phase: 'watched',
      settled: { g: '1.00', at: 100, since: 100, readings: 1, rule: 'figure typed by hand' },
    });
  });

  it('given minutes between two of them, then the second follows the first, which stays as its beginning', () => {
    const first = settle(unsettled, typed('1.00', 100));
    const again = settle(first, typed('1.00', 60_000));
    expect(again.settled).toBe(first.settled);
    const second = settle(again, typed('1.50', 900_000));
    expect(second.settled?.g).toBe('1.50');
    expect(second.onset?.before.g).toBe('1.00');
  });

  it('given the same figure from a stream, then one reading rests on nothing', () => {
    expect(settle(unsettled, reading('1.00', 100, true)).settled).toBeNull();
  });
});

describe('watching until the next pour', () => {
  it('given a figure at rest, when it stays, then the same object stays and becomes watched', () => {
    const stream = new Stream().show('1.00', 6);
    const first = stream.state.settled;
    stream.show('1.00', 600);
    expect(stream.state.settled).toBe(first);
    expect(stream.state.phase).toBe('watched');
  });

  it('given a first figure one count short, when the filter catches up, then a better one revises it', () => {
    const stream = new Stream().show('1.00', 6).show('1.01', 40);
    expect(stream.figures).toEqual(['1.00', '1.01']);
  });

  it('given a first figure on a draught, when it has passed, then the level revises it', () => {
    const stream = new Stream().show('1.02', 8).show('1.00', 40);
    expect(stream.g).toBe('1.00');
  });

  it('given a figure that flickers between two, then it is not revised to and fro', () => {
    const stream = new Stream().show('1.00', 6);
    for (let n = 0; n < 400; n++) stream.show(n % 2 === 0 ? '1.01' : '1.00');
    expect(stream.figures.length).toBeLessThanOrEqual(2);
  });

  it('gives back only figures that were shown', () => {
    const stream = new Stream().show('1.00', 6);
    for (let n = 0; n < 60; n++) stream.each('1.01', '1.03', '1.02', '1.02');
    expect(['1.01', '1.02', '1.03']).toContain(stream.g);
  });
});

describe('disturbances', () => {
  it('given a watched level, when a draught holds the reading off for two seconds, then nothing is revised', () => {
    const stream = new Stream().show('5.00', 40).each('5.01', '5.02').show('5.03', 16).each('5.02', '5.01');
    expect(stream.show('5.00', 20).figures).toEqual(['5.00']);
  });

  it('while the reading is off the level, nothing is at rest', () => {
    const stream = new Stream().show('5.00', 40).show('5.03');
    expect(stream.state).toMatchObject({ phase: 'moving', settled: null });
    expect(stream.show('5.00').g).toBe('5.00');
  });

  it('given a drop on a watched level, when it stays, then the level is new and the gross before it is kept', () => {
    const stream = new Stream().show('5.00', 60);
    const from = stream.at + stream.every;
    stream.each('5.01', '5.02').show('5.03', 45);
    expect(stream.figures).toEqual(['5.00', '5.03']);
    expect(stream.state.onset?.before.g).toBe('5.00');
    expect(stream.state.onset?.at).toBeGreaterThanOrEqual(from);
    expect(stream.state.onset?.at).toBeLessThanOrEqual(from + stream.every);
  });

  it('given a bottle in hand, when one drop falls after a long rest, then it is told at once', () => {
    const drop = (pouring: boolean) =>
      new Stream(100, { pouring }).show('5.00', 60).each('5.01', '5.02').show('5.03', 6);
    expect(drop(true).g).toBe('5.03');
    expect(drop(false).g).toBeNull();
  });

  it('given a display that steps by five, then its neighbour is the same level', () => {
    const stream = new Stream(100, { d: 0.05 }).show('5.00', 60).show('5.05', 3);
    expect(stream.figures).toEqual(['5.00']);
    expect(stream.g).toBe('5.00');
  });

  it('given drops at their rhythm, then the last level is told soon after the last drop', () => {
    const stream = new Stream().show('5.00', 10);
    for (const g of ['5.03', '5.06', '5.09']) stream.show(g, 9);
    expect(stream.g).toBe('5.09');
    expect(stream.show('5.09', 40).figures.at(-1)).toBe('5.09');
  });

  it('given the onset of the next pour, then the gross it began at is not eaten into', () => {
    const stream = new Stream().show('5.00', 60).each('5.01', '5.02', '5.03', '5.05', '5.08');
    expect(stream.state.told?.settled.g).toBe('5.00');
  });

  it('given a draught of one count when the next pour begins, then the gross before it is that of the whole gap', () => {
    const stream = new Stream().show('5.00', 40).show('5.01', 14).show('5.03', 9).show('5.04', 12);
    expect(stream.g).toBe('5.04');
    expect(stream.state.onset?.before.g).toBe('5.00');
    expect(stream.state.onset?.at).toBe(5500);
  });

  it('given a knock, when the reading is back, then no reading of the knock counts and the figure comes to rest anew', () => {
    const stream = new Stream().show('5.00', 60).each('5.60', '4.20', '5.30', '4.90', '5.10').show('5.00', 3);
    expect(stream.g).toBeNull();
    expect(stream.show('5.00', 40).figures).toEqual(['5.00', '5.00']);
    expect(stream.state.settled?.since).toBeGreaterThan(6500);
  });

  it.each([
    ['35.00', 5],
    ['35.01', 60],
  ])(
    'given a lift and a return at %s, then what was at rest before is not taken for the return',
    (g, long) => {
      const stream = new Stream().show('35.00', long).each('31.00', '0.00').show('34.99').show('35.00');
      expect(stream.g).toBeNull();
      expect(stream.show(g, 8).g).toBe(g);
      expect(stream.state.settled?.since).toBeGreaterThan(100 * (long + 2));
    },
  );

  it('given a lift and a return off the centre, then the new place is a level of its own', () => {
    const stream = new Stream().show('35.00', 60).show('-0.01', 20).show('35.02', 40);
    expect(stream.figures).toEqual(['35.00', '-0.01', '35.02']);
    expect(stream.state.settled?.since).toBeGreaterThan(8000);
  });

  it('given a display set to zero by hand, then the zero is told', () => {
    expect(new Stream().show('35.00', 60).show('0.00', 8).figures).toEqual(['35.00', '0.00']);
  });

  it('given a silence, then what was read before it says nothing about now', () => {
    const stream = new Stream().show('5.00', 4).silence(3000).show('5.00', 4);
    expect(stream.g).toBeNull();
    expect(new Stream().show('5.00', 60).silence(3000).show('5.02', 60).g).toBe('5.02');
  });

  it('given a balance that sends once in two seconds, then its pauses are no silence once they are known', () => {
    const stream = new Stream(1400);
    stream.show('5.00', 12);
    expect(stream.g).toBe('5.00');
  });

  it('given a steady seep, then no figure is confirmed while it moves', () => {
    const stream = new Stream().show('5.00', 40);
    for (let n = 0; n < 100; n++) stream.show((5 + 0.01 * Math.floor(n / 2)).toFixed(2));
    expect(stream.g).toBeNull();
  });

  it('given a clock that steps back, then it starts anew and does not fail', () => {
    const stream = new Stream().show('5.00', 20);
    stream.at -= 5000;
    expect(stream.show('5.00', 4).g).toBeNull();
    expect(stream.show('5.00', 2).g).toBe('5.00');
  });
});

describe('what is kept', () => {
  it('is bounded over a long rest', () => {
    expect(new Stream(50).show('1.00', 5000).state.seen.length).toBeLessThanOrEqual(401);
  });

  it('is the pace of the balance when a pour begins, and nothing else', () => {
    const stream = new Stream(250).show('1.00', 60);
    const next = cleared(stream.state);
    expect({ ...next, every: unsettled.every }).toEqual(unsettled);
    expect(next.every).toBeCloseTo(250, 0);
  });

  it('counts in steps of the balance, in whatever unit it shows', () => {
    const carat = { ...reading('0.200', 0), figure: '1.00', unit: 'ct' };
    expect(settle(unsettled, carat).d).toBeCloseTo(0.002, 9);
    expect(settle(unsettled, reading('0.00', 0)).d).toBe(0.01);
  });
});
