import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, symlinkSync, unlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { LinkState, Observation, Reading } from '../../core/weighing/reading.ts';
import { commaHeaded } from '../../drivers/frames/comma-headed.ts';
import { serialBalance } from '../../drivers/link/serial.ts';
import { FAULTS, type FaultName } from '../../drivers/simulated/faults.ts';
import { servePty } from '../../drivers/simulated/pty.ts';
import { listening, served } from '../wire/pan.ts';
import { unaccounted, WORDS } from './conservation.ts';

/** Every fault by name, through a pseudo-terminal and the link that reads it; and through the program that serves one. */

const COMMAND = join(import.meta.dirname, '../../electron/console/balance.ts');
const LINE = '9600 7E1';
const OPTIONS = ['--shape', 'comma-headed', '--line', LINE, '--room', 'still', '--rate', '20'];
const LOADED = '48.50';
const words = WORDS['comma-headed'];

function program(more: readonly string[]) {
  const folder = mkdtempSync(join(tmpdir(), 'faults-'));
  const link = join(folder, 'port');
  const child = spawn(process.execPath, [COMMAND, ...OPTIONS, '--link', link, ...more]);
  let said = '';
  child.stdout.on('data', (text) => {
    said += text;
  });
  return {
    link,
    say: (text: string) => child.stdin.write(`${text}\n`),
    ready: async () => {
      for (let n = 0; n < 300 && !said.includes('"port"'); n++)
        await new Promise((resolve) => setTimeout(resolve, 50));
      if (!said.includes('"port"')) throw new Error(`the program gave no port: ${said}`);
    },
    end: () => {
      child.kill();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

const isWeight = (one: Observation): one is Reading => one.kind === 'weight';
const advice = (state: LinkState): string => ('advice' in state ? (state.advice ?? '') : '');

interface Seen {
  readonly state: LinkState;
  readonly observations: readonly Observation[];
}

/** What tells the person, or shows, that this fault is on. */
const TOLD: Readonly<Record<FaultName, (seen: Seen) => boolean>> = {
  unplug: ({ state }) => state.kind === 'lost' && /Check the plug|There is no port/.test(state.why),
  silence: ({ state }) => state.kind === 'silent' && /sends nothing/.test(state.advice),
  'torn-line': ({ state }) => state.kind === 'live' && /came harmed/.test(advice(state)),
  'glued-lines': ({ state }) => state.kind === 'live' && /came harmed/.test(advice(state)),
  'wrong-unit': ({ observations }) => {
    const last = observations.filter(isWeight).at(-1);
    return last?.unit === 'ct' && last.figure === '242.50' && last.g === '48.500';
  },
  'count-mode': ({ observations }) => {
    const last = observations.at(-1);
    return last?.kind === 'not-a-weight' && last.what === 'a count of pieces';
  },
  'parity-noise': ({ state }) => state.kind === 'live' && /came harmed/.test(advice(state)),
  /* Nothing on the line is wrong: the pour sees the drift. */
  'slow-drip': ({ observations }) => Number(observations.filter(isWeight).at(-1)?.g) > Number(LOADED),
  'low-battery': ({ state }) => state.kind === 'live' && /battery is low/.test(advice(state)),
  /* Nothing on the line is wrong either: a figure that stands still is all there is. */
  stuck: ({ observations }) =>
    observations.length > 40 && observations.slice(-40).every((one) => isWeight(one) && one.g === LOADED),
};

describe.concurrent('a balance with a fault by name', () => {
  it.for(Object.keys(FAULTS) as FaultName[])(
    '%s: is told, gives no mass that its lines do not, and is over when it is set right',
    async (fault, { expect, onTestFinished }) => {
      const { instrument, port } = await served(onTestFinished, {}, LINE);
      const folder = mkdtempSync(join(tmpdir(), 'faults-'));
      onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
      const path = join(folder, 'port');
      symlinkSync(port.path, path);
      instrument.controls.putVessel(Number(LOADED));
      const balance = serialBalance({ path, shape: 'comma-headed', line: LINE });
      const { observations } = listening(onTestFinished, balance);
      await expect
        .poll(() => observations.at(-1), { timeout: 10_000 })
        .toMatchObject({ g: LOADED, stable: true });
      const from = observations.length;
      instrument.setFault(fault);
      if (fault === 'unplug') await port.close();
      if (fault === 'stuck') {
        await new Promise((resolve) => setTimeout(resolve, 300));
        instrument.controls.addDrop(1);
      }
      const seen = () => ({ state: balance.state, observations: observations.slice(from) });
      await expect.poll(() => TOLD[fault](seen()), { timeout: 20_000 }).toBe(true);
      if (words === undefined) throw new Error('no words for the shape');
      for (const one of seen().observations.filter(isWeight)) {
        expect(unaccounted(one.raw ?? '', commaHeaded.parse(one.raw ?? ''), words)).toBeNull();
        if (fault !== 'slow-drip') expect(Number(one.g)).toBe(Number(LOADED));
      }
      instrument.setFault(null);
      instrument.controls.putVessel(Number(LOADED));
      if (fault === 'unplug') {
        const again = await servePty(instrument, LINE);
        onTestFinished(() => again.close());
        unlinkSync(path);
        symlinkSync(again.path, path);
      }
      await expect
        .poll(() => [balance.state.kind, advice(balance.state), observations.at(-1)], { timeout: 15_000 })
        .toMatchObject(['live', '', { g: LOADED, stable: true }]);
      await balance.stop();
    },
  );
});

it('starts with a fault, takes another while it runs, and says so of one that there is not', async () => {
  const balance = program(['--fault', 'count-mode']);
  onTestFinished(() => balance.end());
  await balance.ready();
  const reader = serialBalance({ path: balance.link, shape: 'comma-headed', line: LINE });
  const { observations } = listening(onTestFinished, reader);
  await expect.poll(() => observations.at(-1), { timeout: 10_000 }).toMatchObject({ kind: 'not-a-weight' });
  const wrong = spawn(process.execPath, [COMMAND, '--fault', 'nonsense']);
  let errors = '';
  wrong.stderr.on('data', (text) => {
    errors += text;
  });
  await expect.poll(() => wrong.exitCode, { timeout: 15_000 }).toBe(1);
  expect(errors).toContain('There is no fault "nonsense"');
});
