import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Phase } from '../../../core/pour/state.ts';
import { SteppedClock } from '../../../drivers/simulated/clock.ts';
import { Instrument } from '../../../drivers/simulated/instrument.ts';
import { ROOMS } from '../../../drivers/simulated/physics.ts';
import { Hand } from '../../../electron/console/hand.ts';
import { ScreenPipette } from '../../../electron/host/screen-pipette.ts';
import { Led } from '../pour/given.ts';

describe('the simulated hand', () => {
  it.each([
    [0.3, 0.28],
    [6.2, 6.2],
  ])('takes %d g out, pipette by pipette, and stops once %d g are out', (target, low) => {
    const clock = new SteppedClock();
    const instrument = new Instrument({ clock, room: ROOMS.still, seed: 5 });
    instrument.start();
    const hand = new Hand({ instrument, clock });
    instrument.controls.putVessel(50);
    instrument.controls.addDrop(12);
    clock.advance(4000);
    hand.hear({
      event: 'withdraw',
      from: 'stirred',
      target_g: String(target),
      window_g: [String(low), null],
      before_g: '62.00',
    });
    clock.advance(30_000);
    const out = 12 - instrument.controls.truth().contents;
    expect(out).toBeGreaterThanOrEqual(low - 0.01);
    expect(out).toBeLessThanOrEqual(target + 0.03);
    hand.stop();
    instrument.stop();
  });
});

describe('the pipette on the screen', () => {
  beforeEach(() => vi.useFakeTimers());
  afterEach(() => vi.useRealTimers());

  const at = (phase: Phase) => {
    const moved: number[] = [];
    const pan = {
      addDrop: (g: number) => moved.push(g),
      stream: (g: number) => moved.push(g * 100),
      withdraw: (g: number) => moved.push(-g),
      putVessel: () => {},
      putWeight: () => {},
      adjust: () => {},
      liftVessel: () => {},
      touch: () => {},
      truth: () => ({ vessel: 0, contents: 0, onPan: true }),
    };
    const pipette = new ScreenPipette(pan, () => ({ ...new Led().state, phase }));
    return { pipette, moved };
  };

  it('draws while something is to be taken out, and pours otherwise', () => {
    const drawing = at('withdrawing');
    drawing.pipette.drop(2);
    vi.advanceTimersByTime(1000);
    expect(drawing.moved).toEqual([-0.025, -0.025]);
    const pouring = at('pouring');
    pouring.pipette.drop(1);
    vi.advanceTimersByTime(1000);
    expect(pouring.moved).toEqual([0.025]);
  });

  it('squeezed draws until it is let go', () => {
    const { pipette, moved } = at('withdrawing');
    pipette.squeeze(true);
    vi.advanceTimersByTime(1000);
    const drawn = moved.reduce((sum, one) => sum + one, 0);
    expect(drawn).toBeCloseTo(-0.5, 6);
    pipette.squeeze(false);
    vi.advanceTimersByTime(1000);
    expect(moved.reduce((sum, one) => sum + one, 0)).toBe(drawn);
  });
});
