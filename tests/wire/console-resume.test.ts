import { describe, it } from 'vitest';
import { openStore } from '../../electron/host/store/store.ts';
import { consoleRun, folder, formulaFile, isStep, type Line, linesOf } from './console-run.ts';
import { served } from './pan.ts';

type Finished = Parameters<typeof served>[0];

/** Pours until the console tells a line of this kind, is killed there, and is found paused; `left` is added meanwhile. */
async function pausedAt(finished: Finished, event: 'step' | 'capture', left: number) {
  const { instrument, port } = await served(finished);
  const pan = instrument.controls;
  const out = folder(finished);
  const args = ['pour', '--port', port.path, '--shape', 'comma-headed', '--out', out];
  const hand = (line: Line): void => {
    if (line.event === 'started') pan.putVessel(40);
    else if (isStep(line)) pan.addDrop(Math.round(Number(line.target_g) * 100) / 100);
  };
  const first = consoleRun(finished, [...args, '--formula', formulaFile(out)], (line) => {
    if (line.event === event) first.child.kill('SIGKILL');
    else hand(line);
  });
  await first.ended;
  const store = openStore(out);
  const [open] = store.catalog.open();
  const gross = event === 'step' ? { gross: '40.00' } : {};
  store.journal.append(open?.id ?? '', new Date().toISOString(), [
    { type: 'paused', why: 'the telephone', ...gross },
  ]);
  store.close();
  pan.addDrop(left);
  const second = consoleRun(finished, [...args, '--resume'], event === 'step' ? undefined : hand);
  return { second, code: await second.ended, out };
}

const told = (lines: readonly Line[]): unknown[] =>
  lines.map((line) => (line.event === 'noticed' ? line.what : line.event));

describe.concurrent('a paused batch that the console takes up', { timeout: 120_000 }, () => {
  it('goes on with a reading at rest: what came between two lines is told before the next one', async ({
    expect,
    onTestFinished,
  }) => {
    const { second, code } = await pausedAt(onTestFinished, 'capture', 0.5);
    expect(code, second.words()).toBe(0);
    expect(told(second.lines).slice(0, 5)).toEqual([
      'taken-up',
      'resumed',
      'gross differs after a time away',
      'mass added between pours',
      'step',
    ]);
    expect(linesOf(second.lines, 'closed')).toHaveLength(1);
  });

  it('takes nothing for poured that came in the middle of a line, and leaves it to a person', async ({
    expect,
    onTestFinished,
  }) => {
    const { second, code, out } = await pausedAt(onTestFinished, 'step', 1.8);
    expect(code).toBe(1);
    expect(told(second.lines)).toEqual(['taken-up', 'step', 'resumed', 'gross differs after a time away']);
    expect(second.words()).toMatch(
      /^what: Not as it was left: 41\.80 g where 40 g was left.*\nwhere: .+\nnext: /m,
    );
    const store = openStore(out);
    const [open] = store.catalog.open();
    expect(store.journal.events(open?.id ?? '').map(({ event }) => event.type)).not.toContain('captured');
    store.close();
  });
});
