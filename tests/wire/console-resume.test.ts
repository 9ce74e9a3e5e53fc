import { describe, it } from 'vitest';
import { openStore } from '../../electron/host/store/store.ts';
import { consoleRun, folder, formulaFile, isStep, type Line } from './console-run.ts';
import { served } from './pan.ts';

type Finished = Parameters<typeof served>[0];

/** Killed with the first bottle in hand, found paused, with `left` g more in the vessel. */
async function pausedInHand(finished: Finished, left: number) {
  const { instrument, port } = await served(finished);
  const pan = instrument.controls;
  const out = folder(finished);
  const args = ['pour', '--port', port.path, '--shape', 'comma-headed', '--out', out];
  const first = consoleRun(finished, [...args, '--formula', formulaFile(out)], (line) => {
    if (isStep(line)) first.child.kill('SIGKILL');
    else if (line.event === 'started') pan.putVessel(40);
  });
  await first.ended;
  const store = openStore(out);
  const [open] = store.catalog.open();
  store.journal.append(open?.id ?? '', new Date().toISOString(), [
    { type: 'paused', why: 'the telephone', gross: '40.00' },
  ]);
  store.close();
  pan.addDrop(left);
  const second = consoleRun(finished, [...args, '--resume']);
  return { second, code: await second.ended, out };
}

const told = (lines: readonly Line[]): unknown[] =>
  lines.map((line) => (line.event === 'noticed' ? line.what : line.event));

describe('a paused batch that the console takes up', { timeout: 120_000 }, () => {
  it('takes nothing for poured that came in the middle of a line, and leaves it to a person', async ({
    expect,
    onTestFinished,
  }) => {
    const { second, code, out } = await pausedInHand(onTestFinished, 1.8);
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
