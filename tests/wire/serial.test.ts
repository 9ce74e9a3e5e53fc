import { describe, it } from 'vitest';
import { serialBalance } from '../../drivers/link/serial.ts';
import { listening, served, weights } from './pan.ts';

describe.concurrent.each([
  ['comma-headed', '9600 8N1'],
  ['comma-headed', '2400 7E1'],
  ['comma-headed', '1200 7O1'],
  ['two-headed', '9600 8N1'],
  ['two-headed', '2400 7E1'],
])('%s at %s through a pseudo-terminal', (shape, line) => {
  it('reads a vessel put on the pan, moving and then at rest', async ({ expect, onTestFinished }) => {
    const { instrument, port } = await served(onTestFinished, { shape }, line);
    const balance = serialBalance({ path: port.path, shape, line });
    const { observations, states } = listening(onTestFinished, balance);
    await expect.poll(() => weights(observations)).toContain('0.00 stable');
    instrument.controls.putVessel(48.5);
    await expect.poll(() => weights(observations), { timeout: 6000 }).toContain('48.50 stable');
    expect(observations.some((one) => one.kind === 'weight' && one.stable === false)).toBe(true);
    expect(observations.filter((one) => one.kind === 'refused')).toEqual([]);
    expect(states.map((state) => state.kind)).toEqual(['opening', 'live']);
  });

  it('is recognised from the stream', async ({ expect, onTestFinished }) => {
    const { port } = await served(onTestFinished, { shape }, line);
    const balance = serialBalance({ path: port.path, shape: 'recognise', line });
    listening(onTestFinished, balance);
    await expect.poll(() => balance.state).toMatchObject({ kind: 'live', shape });
  });

  it('presses tare and zero on the balance', async ({ expect, onTestFinished }) => {
    const { instrument, port } = await served(onTestFinished, { shape }, line);
    const balance = serialBalance({ path: port.path, shape, line });
    const { observations } = listening(onTestFinished, balance);
    instrument.controls.putVessel(48.5);
    await expect.poll(() => weights(observations).at(-1), { timeout: 6000 }).toBe('48.50 stable');
    await balance.press('tare');
    await expect.poll(() => weights(observations).at(-1)).toBe('0.00 stable');
    instrument.controls.liftVessel();
    await expect.poll(() => weights(observations).at(-1), { timeout: 6000 }).toBe('-48.50 stable');
    await balance.press('zero');
    await expect.poll(() => weights(observations).at(-1)).toBe('0.00 stable');
  });
});

describe.concurrent('the wrong settings', () => {
  it('read nothing from 7E1 as 8N1, and say so', async ({ expect, onTestFinished }) => {
    const { port } = await served(onTestFinished, {}, '2400 7E1');
    const balance = serialBalance({ path: port.path, shape: 'comma-headed', line: '2400 8N1' });
    const { observations } = listening(onTestFinished, balance);
    await expect
      .poll(() => balance.state, { timeout: 5000 })
      .toMatchObject({
        kind: 'silent',
        advice: expect.stringContaining('line settings'),
      });
    expect(weights(observations)).toEqual([]);
  });

  it('refuse lines of 7E1 read as 7O1 for their parity', async ({ expect, onTestFinished }) => {
    const { port } = await served(onTestFinished, {}, '2400 7E1');
    const balance = serialBalance({ path: port.path, shape: 'comma-headed', line: '2400 7O1' });
    const { observations } = listening(onTestFinished, balance);
    await expect
      .poll(() => observations.at(-1))
      .toMatchObject({ kind: 'refused', why: expect.stringContaining('parity is wrong') });
    expect(weights(observations)).toEqual([]);
  });
});

describe.concurrent('a pseudo-terminal', () => {
  it('gives nothing that was sent before the opening', async ({ expect, onTestFinished }) => {
    const { instrument, port } = await served(onTestFinished, { streams: false }, '9600 8N1');
    for (let k = 0; k < 5; k++) port.write(Buffer.from('ST,+00099.99  g\r\n'));
    await new Promise((resolve) => setTimeout(resolve, 100));
    const balance = serialBalance({ path: port.path, shape: 'comma-headed', line: '9600 8N1' });
    const { observations } = listening(onTestFinished, balance);
    await expect.poll(() => balance.state.kind).toBe('opening');
    await new Promise((resolve) => setTimeout(resolve, 300));
    instrument.receive(Buffer.from('SIR\r\n'));
    await expect.poll(() => weights(observations)).toContain('0.00 stable');
    expect(weights(observations).some((weight) => weight.startsWith('99.99'))).toBe(false);
  });

  it('says over and under range by the header', async ({ expect, onTestFinished }) => {
    const { instrument, port } = await served(onTestFinished, {}, '9600 8N1');
    const { observations } = listening(
      onTestFinished,
      serialBalance({ path: port.path, shape: 'comma-headed', line: '9600 8N1' }),
    );
    instrument.controls.putVessel(300);
    await expect
      .poll(() => observations.at(-1), { timeout: 3000 })
      .toMatchObject({ kind: 'out-of-range', way: 'over' });
    instrument.controls.liftVessel();
    instrument.controls.touch(-60);
    await expect
      .poll(() => observations.at(-1), { timeout: 3000 })
      .toMatchObject({ kind: 'out-of-range', way: 'under' });
  });
});
