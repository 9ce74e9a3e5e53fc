import { describe, it } from 'vitest';
import { SHAPES } from '../../drivers/frames/shapes.ts';
import { askBalance } from '../../drivers/link/probe.ts';
import { bytesInWords } from '../../drivers/link/questions.ts';
import { serialBalance, tryPort } from '../../drivers/link/serial.ts';
import type { Instrument } from '../../drivers/simulated/instrument.ts';
import { listening, served, weights } from './pan.ts';

/** Every byte string that may ever be sent to a silent port, written out here once more. */
const ALLOWED = ['SI\r\n', '\x1bP\r\n', 'IP\r\n', 'W\r', '\nW\r', 'O8\r\n', 'w\r\n'];
/** Sent only to a balance that is said to take it. */
const BY_SHAPE = [...ALLOWED, 'READ\r\n'];

/** Gathers what reaches the socket of the balance. */
function overheard(instrument: Instrument): () => string {
  let sent = '';
  const receive = instrument.receive.bind(instrument);
  instrument.receive = (bytes) => {
    sent += Buffer.from(bytes).toString('latin1');
    receive(bytes);
  };
  return () => sent;
}

/** Cuts what was sent into allowed commands; the rest is what was not allowed. */
function beyond(sent: string, allowed: readonly string[]): string {
  const longest = allowed.toSorted((a, b) => b.length - a.length);
  let rest = sent;
  for (;;) {
    const next = longest.find((one) => rest.startsWith(one));
    if (next === undefined) return rest;
    rest = rest.slice(next.length);
  }
}

/** Shapes whose balances are never asked without a word of the person, and those that take no question at all. */
const ONLY_BY_SHAPE = ['two-headed'];
const NEVER = ['unpadded', 'framed-bits', 'framed-codes', 'flag-behind', 'plain'];
/** Faster than a real balance may be asked: the simulated one takes it. */
const pace = { before: 100, every: 350 };
const asked = SHAPES.map(({ name }) => name).filter((name) => !NEVER.includes(name));

describe.concurrent('asking a silent balance', () => {
  it.for(asked)(
    'finds %s by its answer, with allowed bytes only, and reads on by asking',
    { timeout: 60_000 },
    async (shape, { expect, onTestFinished }) => {
      const { instrument, port } = await served(onTestFinished, { shape, streams: false, seed: 5 });
      instrument.controls.putVessel(48.5);
      const sent = overheard(instrument);
      const steps: string[] = [];
      const named = ONLY_BY_SHAPE.includes(shape) ? { shape } : {};
      const found = await askBalance(port.path, {
        ...named,
        pace,
        progress: ({ bytes, line }) => steps.push(`${bytes} at ${line}`),
      });
      expect(found).toMatchObject({ kind: 'found', shape });
      expect(beyond(sent(), 'shape' in named ? BY_SHAPE : ALLOWED)).toBe('');
      expect(steps.length).toBeGreaterThan(0);
      await tryPort(port.path, '9600 8N1');
      if (found.kind !== 'found') return;
      const { line, ask } = found;
      const balance = serialBalance({ path: port.path, shape, line, ask, unit: 'g' });
      const { observations } = listening(onTestFinished, balance);
      await expect.poll(() => weights(observations).at(-1), { timeout: 8000 }).toMatch(/^48\.50/);
      expect(balance.state).toMatchObject({ kind: 'live', shape });
    },
  );

  it.for(['unpadded', 'plain'])(
    'gets no answer from %s, and sends it nothing that is not allowed',
    { timeout: 60_000 },
    async (shape, { expect, onTestFinished }) => {
      const { instrument, port } = await served(onTestFinished, { shape, streams: false, seed: 5 });
      const sent = overheard(instrument);
      const steps: string[] = [];
      expect(
        await askBalance(port.path, {
          pace,
          progress: ({ bytes, line }) => steps.push(`${bytes} at ${line}`),
        }),
      ).toMatchObject({ kind: 'no-answer' });
      expect(beyond(sent(), ALLOWED)).toBe('');
      expect(steps).toEqual([
        'S I CR LF at 9600 8N1',
        'S I CR LF at 2400 7E1',
        'S I CR LF at 4800 8N1',
        'ESC P CR LF at 9600 8O1',
        'ESC P CR LF at 1200 7O1',
        'I P CR LF at 9600 8N1',
        'I P CR LF at 2400 7N2',
        'W CR at 9600 8N1',
        'W CR at 9600 7E1',
        'LF W CR at 9600 8N1',
        'O 8 CR LF at 1200 8N2',
        'O 8 CR LF at 9600 8N1',
        'w CR LF at 9600 8N1',
      ]);
    },
  );

  it('sends nothing to a balance of the shape "unpadded" where the person says that it is one', async ({
    expect,
    onTestFinished,
  }) => {
    const { instrument, port } = await served(onTestFinished, { shape: 'unpadded', streams: false });
    const sent = overheard(instrument);
    expect(await askBalance(port.path, { shape: 'unpadded' })).toMatchObject({ kind: 'no-answer' });
    expect(sent()).toBe('');
  });

  it('sends nothing to a balance that speaks by itself', async ({ expect, onTestFinished }) => {
    const { instrument, port } = await served(onTestFinished);
    const sent = overheard(instrument);
    expect(await askBalance(port.path)).toEqual({ kind: 'speaks' });
    expect(sent()).toBe('');
  });

  it('stops when told to, between two questions, and leaves the port free', async ({
    expect,
    onTestFinished,
  }) => {
    const { instrument, port } = await served(onTestFinished, { shape: 'plain', streams: false });
    const sent = overheard(instrument);
    const stop = new AbortController();
    const progress = ({ number }: { number: number }): void => {
      if (number === 2) stop.abort();
    };
    expect(await askBalance(port.path, { pace, signal: stop.signal, progress })).toEqual({ kind: 'stopped' });
    expect(sent()).toBe('SI\r\n');
    await tryPort(port.path, '9600 8N1');
  });

  it('says which port is missing', async ({ expect }) => {
    await expect(askBalance('/dev/no-such-port')).rejects.toMatchObject({ kind: 'unknown-port' });
  });
});

describe('bytes in words', () => {
  it('are written as a manual writes them', ({ expect }) => {
    expect(bytesInWords('\x1bP\r\n')).toBe('ESC P CR LF');
    expect(bytesInWords('\nW\r')).toBe('LF W CR');
  });
});
