import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, it, type onTestFinished } from 'vitest';
import type { RecordFile } from '../../core/record/record.ts';
import { verifyRecord } from '../../core/record/verify.ts';
import type { Instrument } from '../../drivers/simulated/instrument.ts';
import { consoleRun, folder, formulaFile, isStep, type Line, linesOf } from './console-run.ts';
import { served } from './pan.ts';

type Finished = typeof onTestFinished;

const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');
const cent = (mass: number): number => Math.round(mass * 100) / 100;

/** Pours each step at once, the `slip`-th of them past its window by `over`, and takes out what it is asked for. */
function hand(pan: Instrument['controls'], slip: number, over: number): (line: Line) => void {
  let steps = 0;
  return (line) => {
    if (line.event === 'started') pan.putVessel(40);
    if (line.event === 'withdraw') pan.withdraw(cent(Number(line.target_g) + 0.005));
    if (!isStep(line)) return;
    steps += 1;
    pan.addDrop(cent(steps === slip ? Number(line.window_g[1]) + over : Number(line.target_g)));
  };
}

async function pourWithdrawing(finished: Finished, slip: number) {
  const { instrument, port } = await served(finished, { shape: 'comma-headed' }, '9600 8N1');
  const out = folder(finished);
  const args = ['pour', '--formula', formulaFile(folder(finished)), '--port', port.path, '--out', out];
  const run = consoleRun(
    finished,
    [...args, '--shape', 'comma-headed', '--on-overpour', 'withdraw'],
    hand(instrument.controls, slip, 0.2),
  );
  const code = await run.ended;
  return { run, code, out, contents: instrument.controls.truth().contents };
}

describe.concurrent('withdrawing through a pseudo-terminal', { timeout: 120_000 }, () => {
  it.for([
    [1, 'unmixed'],
    [2, 'stirred'],
  ] as const)(
    'an overpour of step %i: out of the %s vessel, and every line ends inside',
    async ([slip, from], { expect, onTestFinished }) => {
      const { run, code, out, contents } = await pourWithdrawing(onTestFinished, slip);
      expect(code, run.words()).toBe(0);
      const [overpour] = linesOf(run.lines, 'overpour');
      const ways = overpour?.further.map((one) => one.choice);
      expect(ways).toEqual(
        from === 'unmixed' ? ['withdraw-unmixed', 'again'] : ['withdraw-least', 'withdraw-exact', 'again'],
      );
      const [asked] = linesOf(run.lines, 'withdraw');
      expect(asked?.from).toBe(from);
      const [withdrawn] = linesOf(run.lines, 'withdrawn');
      expect(withdrawn?.verdict).toBe('inside');
      expect(Number(withdrawn?.taken_g)).toBeGreaterThanOrEqual(Number(asked?.window_g[0]) - 1e-9);
      const record = JSON.parse(readFileSync(join(out, 'as-made.json'), 'utf8')) as RecordFile;
      expect(record.asMade.lines.map((line) => line.mark)).toEqual(['inside', 'inside', 'inside']);
      expect(record.withdrawals).toHaveLength(1);
      expect(Math.abs(Number(record.asMade.total) - contents)).toBeLessThanOrEqual(0.02);
      expect(verifyRecord(sha256, record)).toEqual({ ok: true, problems: [] });
    },
  );
});
