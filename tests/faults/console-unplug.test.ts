import { readFileSync, symlinkSync, unlinkSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { RecordFile } from '../../core/record/record.ts';
import { servePty } from '../../drivers/simulated/pty.ts';
import { consoleRun, folder, formulaFile, isStep, linesOf } from '../wire/console-run.ts';
import { served } from '../wire/pan.ts';

describe('a balance unplugged during a console pour', { timeout: 120_000 }, () => {
  it('is told as lost and waited for, and the pour goes on when it is back', async () => {
    const { instrument, port } = await served(onTestFinished);
    const pan = instrument.controls;
    const out = folder(onTestFinished);
    const path = join(out, 'balance');
    symlinkSync(port.path, path);
    let unplugged = false;
    const run = consoleRun(
      onTestFinished,
      ['pour', '--formula', formulaFile(out), '--port', path, '--shape', 'comma-headed', '--out', out],
      (line) => {
        if (line.event === 'started') pan.putVessel(40);
        if (!isStep(line)) return;
        if (line.line === 'ethanol' && !unplugged) {
          unplugged = true;
          unlinkSync(path);
          void port.close();
        }
        pan.addDrop(Math.round(Number(line.target_g) * 100) / 100);
      },
    );
    await expect.poll(() => linesOf(run.lines, 'balance-lost').length, { timeout: 80_000 }).toBe(1);
    await new Promise((resolve) => setTimeout(resolve, 1500));
    expect(linesOf(run.lines, 'closed')).toEqual([]);
    const again = await servePty(instrument);
    onTestFinished(() => again.close());
    symlinkSync(again.path, path);
    expect(await run.ended, run.words()).toBe(0);
    expect(linesOf(run.lines, 'balance-back')).toHaveLength(1);
    const record = JSON.parse(readFileSync(join(out, 'as-made.json'), 'utf8')) as RecordFile;
    expect(record.events.map(({ event }) => event.type)).toEqual(
      expect.arrayContaining(['balance-lost', 'balance-back']),
    );
    expect(Math.abs(Number(record.asMade.total) - pan.truth().contents)).toBeLessThanOrEqual(0.02);
  });
});
