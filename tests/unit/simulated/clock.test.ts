import { expect, it } from 'vitest';
import { SteppedClock } from '../../../drivers/simulated/clock.ts';

it('calls what falls due in order of time, and lets sleepers go on', async () => {
  const clock = new SteppedClock(1000);
  const seen: string[] = [];
  const end = clock.every(100, () => seen.push(`a${clock.now()}`));
  clock.every(150, () => seen.push(`b${clock.now()}`));
  const slept = clock.sleep(250).then(() => seen.push('slept'));
  clock.advance(300);
  expect(seen).toEqual(['a1100', 'b1150', 'a1200', 'a1300', 'b1300']);
  await slept;
  end();
  await clock.run(150);
  expect(seen).toEqual(['a1100', 'b1150', 'a1200', 'a1300', 'b1300', 'slept', 'b1450']);
  expect(clock.now()).toBe(1450);
});
