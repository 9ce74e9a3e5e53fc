import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, it } from 'vitest';
import type { RecordFile } from '../../core/record/record.ts';
import { verifyRecord } from '../../core/record/verify.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { consoleRun, folder, formulaFile, isStep, type Line, linesOf } from '../wire/console-run.ts';
import { served } from '../wire/pan.ts';

const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');
const hundredths = (mass: number): number => Math.round(mass * 100) / 100;

/** When the process is killed: at the line, counted among its kind, that this says. */
const MOMENTS = [
  ['as the first capture is told', 'capture', 1],
  ['as the second bottle is taken', 'step', 2],
  ['as an overpour is told', 'overpour', 1],
  ['as the last line is captured', 'capture', 3],
] as const;

describe.concurrent('a console pour killed in the middle', { timeout: 120_000 }, () => {
  it.for(MOMENTS)(
    '%s goes on with --resume, and the record is whole',
    async ([, event, nth], { expect, onTestFinished }) => {
      const { instrument, port } = await served(onTestFinished);
      const pan = instrument.controls;
      const out = folder(onTestFinished);
      const args = [
        'pour',
        '--port',
        port.path,
        '--shape',
        'comma-headed',
        '--out',
        out,
        '--on-overpour',
        'keep',
      ];
      const slips = event === 'overpour';
      let poured = '';
      /* A step that is told again after the kill has been poured already. */
      const hand = (line: Line): void => {
        if (line.event === 'started') pan.putVessel(40);
        if (!isStep(line) || poured === `${line.line} ${line.before_g}`) return;
        poured = `${line.line} ${line.before_g}`;
        const over = slips && line.line === 'vetiver';
        pan.addDrop(over ? hundredths(Number(line.window_g[1]) + 0.05) : hundredths(Number(line.target_g)));
      };
      const first = consoleRun(onTestFinished, [...args, '--formula', formulaFile(out)], (line) => {
        if (linesOf(first.lines, event).length === nth && line.event === event) first.child.kill('SIGKILL');
        hand(line);
      });
      expect(await first.ended, first.words()).toBe('SIGKILL');
      const told = linesOf(first.lines, 'capture');

      const second = consoleRun(onTestFinished, [...args, '--resume'], hand);
      expect(await second.ended, second.words()).toBe(0);
      expect(second.lines[0]).toMatchObject({ event: 'taken-up', formula: 'Window sill' });
      const record = JSON.parse(readFileSync(join(out, 'as-made.json'), 'utf8')) as RecordFile;
      expect(verifyRecord(sha256, record)).toEqual({ ok: true, problems: [] });
      expect(record.batch.status).toBe('closed');
      /* What was told as captured before the kill stands in the record as it was told. */
      const captured = record.events.flatMap(({ event: one }) => (one.type === 'captured' ? [one] : []));
      for (const one of told)
        expect(captured).toContainEqual(expect.objectContaining({ pour: one.pour, net: one.net_g }));
      expect(captured.map((one) => one.line).sort()).toEqual(['ethanol', 'lavender', 'vetiver']);
      expect(Math.abs(Number(record.asMade.total) - pan.truth().contents)).toBeLessThanOrEqual(0.02);
      const store = openStore(out);
      try {
        expect(store.journal.batches()).toHaveLength(1);
      } finally {
        store.close();
      }
    },
  );

  it('after its closing event has its record written again', async ({ expect, onTestFinished }) => {
    const out = folder(onTestFinished);
    const { instrument, port } = await served(onTestFinished);
    const pan = instrument.controls;
    const args = ['pour', '--port', port.path, '--shape', 'comma-headed', '--out', out];
    const run = consoleRun(onTestFinished, [...args, '--formula', formulaFile(out)], (line) => {
      if (line.event === 'started') pan.putVessel(40);
      if (isStep(line)) pan.addDrop(hundredths(Number(line.target_g)));
    });
    expect(await run.ended, run.words()).toBe(0);
    const before = readFileSync(join(out, 'as-made.json'), 'utf8');
    const again = consoleRun(onTestFinished, [...args, '--resume']);
    expect(await again.ended, again.words()).toBe(0);
    expect(again.lines).toMatchObject([{ event: 'closed' }]);
    expect(readFileSync(join(out, 'as-made.json'), 'utf8')).toBe(before);
  });

  it('with nothing interrupted says so', async ({ expect, onTestFinished }) => {
    const out = folder(onTestFinished);
    const run = consoleRun(onTestFinished, ['pour', '--port', 'simulated', '--out', out, '--resume']);
    expect(await run.ended).toBe(1);
    expect(run.words()).toMatch(/^what: No interrupted batch/);
  });
});
