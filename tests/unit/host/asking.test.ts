import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { LinkTrouble } from '../../../drivers/link/balance.ts';
import type { Asked, AskOptions } from '../../../drivers/link/probe.ts';
import { Balances } from '../../../electron/host/balances.ts';
import { Bench } from '../../../electron/host/session.ts';
import { openStore, type Store } from '../../../electron/host/store/store.ts';
import { FindingView } from '../../../electron/host/table-balance.ts';

/** Asking a silent port, as the host lets a window do it. */

const PATH = '/dev/no-such-ttyUSB0';
let folder = '';
let store: Store;
let bench: Bench;
let balances: Balances;
let asked: { path: string; shape: string | undefined }[] = [];
let answer: (options: AskOptions) => Promise<Asked>;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-asking-'));
  store = openStore(folder);
  bench = new Bench({ journal: store.journal, now: () => 1_764_000_000_000, newId: () => 'batch-1' });
  asked = [];
  balances = new Balances(bench, store.workshop, () => 1, {
    machine: {
      ports: async () => [
        { path: PATH, label: 'ttyUSB0', detail: '' },
        { path: '/dev/no-such-ttyUSB1', label: 'ttyUSB1', detail: '' },
      ],
      scales: async () => [],
      find: async (path) =>
        path === PATH
          ? { kind: 'silent', why: 'Nothing came.', press: 'Press Print.' }
          : { kind: 'unknown', why: 'Bytes came.', heard: 'level 7', next: 'Look.' },
      ask: async (path, options) => {
        asked.push({ path, shape: options.shape });
        return answer(options);
      },
    },
  });
});
afterEach(async () => {
  await balances.stop();
  await bench.detach();
  store.close();
  rmSync(folder, { recursive: true, force: true });
});

async function ended(): Promise<FindingView> {
  await expect.poll(() => ['listening', 'asking'].includes(balances.finding.state)).toBe(false);
  return FindingView.parse(balances.finding);
}
async function listened(): Promise<void> {
  balances.find();
  await expect.poll(() => balances.finding.state).toBe('nothing');
}

describe('asking a silent port', () => {
  it('is refused before it was listened at, and for a port whose bytes say something', async () => {
    expect(() => balances.ask(PATH)).toThrow('Only a port that stayed silent is asked.');
    await listened();
    expect(() => balances.ask('/dev/no-such-ttyUSB1')).toThrow('Only a port that stayed silent is asked.');
    expect(asked).toEqual([]);
  });

  it('tells exactly what would be sent, and sends nothing by telling', () => {
    expect(balances.questions('sign-first')).toEqual([
      { bytes: 'ESC P CR LF', line: '9600 8O1' },
      { bytes: 'ESC P CR LF', line: '1200 7O1' },
    ]);
    expect(balances.questions('unpadded')).toEqual([]);
    expect(balances.questions().map((one) => one.bytes)).not.toContain('R E A D CR LF');
    expect(() => balances.questions('nonsense')).toThrow('There is no line shape "nonsense"');
    expect(asked).toEqual([]);
  });

  it('shows what is being sent, takes what answers, and remembers the question for the next start', async () => {
    let go = (): void => undefined;
    answer = async ({ progress }) => {
      progress?.({ bytes: 'S I CR LF', line: '9600 8N1', number: 1, of: 13 });
      await new Promise<void>((resolve) => {
        go = resolve;
      });
      return { kind: 'found', line: '9600 8N1', shape: 'status-letter', ask: 'SI\r\n' };
    };
    await listened();
    expect(balances.ask(PATH, 'status-letter').state).toBe('asking');
    await expect
      .poll(() => FindingView.parse(balances.finding))
      .toMatchObject({
        state: 'asking',
        port: { label: 'ttyUSB0' },
        sending: { bytes: 'S I CR LF', line: '9600 8N1' },
        said: [{ port: 'ttyUSB1' }],
      });
    expect(asked).toEqual([{ path: PATH, shape: 'status-letter' }]);
    go();
    expect(await ended()).toMatchObject({ state: 'found', sending: null });
    expect(balances.chosen()).toEqual({
      kind: 'serial',
      path: PATH,
      line: '9600 8N1',
      shape: 'status-letter',
      ask: 'SI\r\n',
    });
    expect(bench.balance?.what).toBe(`${PATH} at 9600 8N1, asked`);
  });

  it.each([
    [
      { kind: 'no-answer', why: 'None answered.', next: 'Look.' },
      { kind: 'silent', what: 'None answered.' },
    ],
    [
      { kind: 'unknown', why: 'Odd.', heard: 'x', next: 'Look.' },
      { kind: 'unknown', heard: 'x' },
    ],
    [{ kind: 'speaks' }, { kind: 'unknown', what: 'It sends by itself now, so nothing was sent to it.' }],
  ] as const)('says what came of it where nothing was found: %j', async (result, said) => {
    answer = async () => result;
    await listened();
    balances.ask(PATH);
    expect((await ended()).said.at(-1)).toMatchObject({ port: 'ttyUSB0', path: PATH, ...said });
    expect(balances.chosen()).toBeNull();
  });

  it('is stopped, and says what is in the way of a port', async () => {
    answer = async ({ signal }) => {
      if (signal?.aborted === false)
        await new Promise((resolve) => signal.addEventListener('abort', resolve));
      return { kind: 'stopped' };
    };
    await listened();
    balances.ask(PATH);
    expect((await balances.stopFinding()).state).toBe('stopped');
    answer = async () => {
      throw new LinkTrouble('busy', 'The port is in use.', PATH, 'Close the other.');
    };
    balances.ask(PATH);
    expect((await ended()).said.at(-1)).toMatchObject({ kind: 'trouble', what: 'The port is in use.' });
  });
});
