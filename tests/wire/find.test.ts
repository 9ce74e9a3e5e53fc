import { describe, it } from 'vitest';
import { SHAPES } from '../../drivers/frames/shapes.ts';
import { findBalance } from '../../drivers/link/find.ts';
import { tryPort } from '../../drivers/link/serial.ts';
import { served } from './pan.ts';

describe.concurrent('finding a balance by listening', () => {
  it.for(
    SHAPES.flatMap(({ name }) => ['9600 8N1', '2400 7E1', '1200 7O1'].map((line) => [name, line] as const)),
  )(
    'finds %s at %s within 4 s, asking for a touch where lines at rest fit several',
    async ([shape, line], { expect, onTestFinished }) => {
      const { instrument, port } = await served(onTestFinished, { shape, seed: 3 }, line);
      instrument.controls.putVessel(48.5);
      await new Promise((resolve) => setTimeout(resolve, 2500));
      const sent: Buffer[] = [];
      const receive = instrument.receive.bind(instrument);
      instrument.receive = (bytes) => {
        sent.push(Buffer.from(bytes));
        receive(bytes);
      };
      const since = performance.now();
      let asks = 0;
      const found = await findBalance(port.path, {
        progress: (step) => {
          if (!('ask' in step)) return;
          asks += 1;
          instrument.controls.addDrop(0.5);
        },
      });
      expect(found).toEqual({ kind: 'found', shape, line: expect.stringMatching(line.slice(5)) });
      expect(performance.now() - since).toBeLessThan(4000);
      expect(asks).toBeLessThanOrEqual(1);
      expect(sent).toEqual([]);
      await tryPort(port.path, line);
    },
  );

  it('explains a silent port, and what to press', async ({ expect, onTestFinished }) => {
    const { port } = await served(onTestFinished, { streams: false });
    expect(await findBalance(port.path)).toMatchObject({
      kind: 'silent',
      press: expect.stringContaining('Print'),
    });
  });

  it('stops when told to, and leaves the port free', async ({ expect, onTestFinished }) => {
    const { port } = await served(onTestFinished, { streams: false });
    const stop = new AbortController();
    setTimeout(() => stop.abort(), 300);
    expect(await findBalance(port.path, { signal: stop.signal })).toEqual({ kind: 'stopped' });
    await tryPort(port.path, '9600 8N1');
  });

  it('says which port is missing', async ({ expect }) => {
    await expect(findBalance('/dev/no-such-port')).rejects.toMatchObject({ kind: 'unknown-port' });
  });
});
