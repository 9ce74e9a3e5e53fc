import { describe, expect, it } from 'vitest';
import { SteppedClock } from '../../../drivers/simulated/clock.ts';
import { Instrument } from '../../../drivers/simulated/instrument.ts';
import { PAN_PLACES, type PanPlace } from '../../../drivers/simulated/pan.ts';
import { MODELS, ROOMS } from '../../../drivers/simulated/physics.ts';

/** What the display shows of a weight, g. */
function shows(g: number, place: PanPlace, share = 0): number {
  const clock = new SteppedClock();
  const balance = new Instrument({ clock, room: ROOMS.still, model: MODELS.C, seed: 3 });
  balance.start();
  balance.controls.adjust(share);
  balance.controls.putWeight(g, place);
  clock.advance(8000);
  return (balance.display.counts ?? Number.NaN) * MODELS.C.d;
}

describe('weights on the simulated pan', () => {
  it('show what they weigh in the middle, and a little more or less at each corner', () => {
    const [centre = 0, ...corners] = PAN_PLACES.map((place) => shows(70, place));
    expect(centre).toBeCloseTo(70, 2);
    for (const corner of corners) {
      expect(Math.abs(corner - centre)).toBeGreaterThan(0.004);
      expect(Math.abs(corner - centre)).toBeLessThan(0.01);
    }
  });

  it('show too much by the share of a wrong adjustment', () => {
    expect(shows(100, 'centre', 0.001) - shows(100, 'centre')).toBeCloseTo(0.1, 2);
  });
});
