import { describe, it } from 'vitest';
import { shapeNamed } from '../../drivers/frames/shapes.ts';
import { askable } from '../../drivers/link/questions.ts';
import { serialBalance } from '../../drivers/link/serial.ts';
import type { Clocks } from '../../drivers/link/wakeful.ts';
import type { Instrument } from '../../drivers/simulated/instrument.ts';
import { listening, served, weights } from './pan.ts';

/** Commands as they reached the balance. */
function commandsOf(instrument: Instrument): string[] {
  const all: string[] = [];
  const receive = instrument.receive.bind(instrument);
  instrument.receive = (bytes) => {
    all.push(Buffer.from(bytes).toString('latin1'));
    receive(bytes);
  };
  return all;
}

/** One of each least interval, of each way to end a command, and of lines without unit. */
const ANSWERING = ['comma-headed', 'sign-first', 'unpadded', 'framed-digits', 'status-below', 'two-headed'];

describe.concurrent('a balance that only answers', () => {
  it.for(ANSWERING)(
    'is read in the shape %s, never asked sooner than it may be, keys in between',
    async (name, { expect, onTestFinished }) => {
      const shape = shapeNamed(name);
      const { instrument, port } = await served(onTestFinished, { shape: name, streams: false });
      const commands = commandsOf(instrument);
      const ask = askable(shape)[0] ?? '';
      const balance = serialBalance({ path: port.path, shape: name, line: '9600 8N1', ask, unit: 'g' });
      const since = performance.now();
      const { observations, states } = listening(onTestFinished, balance);
      instrument.controls.putVessel(48.5);
      await expect.poll(() => weights(observations).at(-1), { timeout: 9000 }).toMatch(/^48\.50/);
      if (shape.commands.tare !== undefined) {
        await balance.press('tare');
        await expect.poll(() => weights(observations).at(-1), { timeout: 9000 }).toMatch(/^0\.00/);
      }
      await balance.stop();
      expect(commands.length).toBeGreaterThan(2);
      expect(commands.length).toBeLessThan((performance.now() - since) / shape.leastInterval + 2);
      /* Two that wait in the terminal may be read as one. */
      let rest = commands.join('');
      for (const one of [ask, shape.commands.tare ?? '']) rest = rest.replaceAll(one, '');
      expect(rest).toBe('');
      expect(states.map((one) => one.kind)).toEqual(['opening', 'live', 'none']);
      const count = commands.length;
      await new Promise((resolve) => setTimeout(resolve, 300));
      expect(commands).toHaveLength(count);
    },
  );

  it('is said to be silent when it stops answering, and live again with the next answer', async ({
    expect,
    onTestFinished,
  }) => {
    const { instrument, port } = await served(onTestFinished, { streams: false });
    const balance = serialBalance({
      path: port.path,
      shape: 'comma-headed',
      line: '9600 8N1',
      ask: 'SI\r\n',
    });
    listening(onTestFinished, balance);
    await expect.poll(() => balance.state.kind).toBe('live');
    instrument.setFault('silence');
    const since = performance.now();
    await expect
      .poll(() => balance.state, { timeout: 5000 })
      .toMatchObject({ kind: 'silent', advice: expect.stringContaining('does not answer') });
    expect(performance.now() - since).toBeLessThan(3500);
    instrument.setFault(null);
    await expect.poll(() => balance.state.kind, { timeout: 4000 }).toBe('live');
  });

  it('is never asked by a command that its shape does not take', ({ expect }) => {
    const options = { path: '/dev/x', line: '9600 8N1' };
    for (const [shape, ask] of [
      ['comma-headed', 'P\r\n'],
      ['sign-first', '\x1bS\r\n'],
      ['recognise', 'SI\r\n'],
      ['plain', 'SI\r\n'],
    ] as const)
      expect(() => serialBalance({ ...options, shape, ask })).toThrow('is no command that asks');
  });
});

describe.concurrent('a balance that sends on its print key', () => {
  it('is live and quiet, and gives one figure a press, marked as printed; a moving one rests on nothing', async ({
    expect,
    onTestFinished,
  }) => {
    const { instrument, port } = await served(onTestFinished, {
      shape: 'marker-first',
      streams: false,
      hears: false,
    });
    const balance = serialBalance({
      path: port.path,
      shape: 'marker-first',
      line: '9600 8N1',
      byKey: true,
    });
    const { observations, states } = listening(onTestFinished, balance);
    await expect.poll(() => balance.state).toMatchObject({ kind: 'live', byKey: true });
    await new Promise((resolve) => setTimeout(resolve, 2600));
    expect(balance.state.kind).toBe('live');
    instrument.press('print');
    await expect.poll(() => weights(observations)).toEqual(['0.00 stable']);
    expect(observations[0]).toMatchObject({ typed: true, printed: true });
    instrument.controls.putVessel(48.5);
    await new Promise((resolve) => setTimeout(resolve, 150));
    instrument.press('print');
    await expect.poll(() => observations).toHaveLength(2);
    expect(observations[1]).toMatchObject({ stable: false });
    expect(observations[1]).not.toHaveProperty('typed');
    await port.close();
    await expect.poll(() => states.at(-1)?.kind, { timeout: 3000 }).toBe('lost');
  });
});

describe.concurrent('a machine that slept', () => {
  const hour = 3_600_000;
  it.for([
    ['its monotonic clock stood still', { wall: hour, steady: 0 }],
    ['both clocks went on', { wall: hour, steady: hour }],
    ['its time of day was set back', { wall: -hour, steady: 0 }],
  ] as const)(
    'is noticed within 2 s of waking where %s: opened anew, and nothing stale is read',
    async ([, jump], { expect, onTestFinished }) => {
      const off = { wall: 0, steady: 0 };
      const clocks: Clocks = {
        wall: () => Date.now() + off.wall,
        steady: () => performance.now() + off.steady,
      };
      const { instrument, port } = await served(onTestFinished, { streams: false });
      const balance = serialBalance({ path: port.path, shape: 'comma-headed', line: '9600 8N1', clocks });
      const { observations, states } = listening(onTestFinished, balance);
      await expect.poll(() => balance.state.kind).toBe('opening');
      instrument.receive(Buffer.from('SIR\r\n'));
      await expect.poll(() => balance.state.kind).toBe('live');
      instrument.receive(Buffer.from('C\r\n'));
      const before = observations.length;
      const woke = performance.now();
      Object.assign(off, jump);
      port.write(Buffer.from('ST,+00099.99  g\r\n'));
      await expect
        .poll(() => balance.state, { timeout: 3000 })
        .toMatchObject({ kind: 'lost', retrying: true, why: expect.stringContaining('slept') });
      expect(performance.now() - woke).toBeLessThan(2000);
      expect(weights(observations.slice(before))).not.toContain('99.99 stable');
      await expect.poll(() => balance.state.kind, { timeout: 3000 }).toBe('opening');
      instrument.receive(Buffer.from('SIR\r\n'));
      await expect.poll(() => balance.state.kind, { timeout: 3000 }).toBe('live');
      expect(weights(observations)).not.toContain('99.99 stable');
      expect(states.map((one) => one.kind)).toEqual(['opening', 'live', 'lost', 'opening', 'live']);
    },
  );
});
