import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, it, type onTestFinished } from 'vitest';
import type { RecordFile } from '../../core/record/record.ts';
import { verifyRecord } from '../../core/record/verify.ts';
import type { Instrument } from '../../drivers/simulated/instrument.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { consoleRun, folder, formulaFile, isStep, type Line, linesOf, type Run } from './console-run.ts';
import { served } from './pan.ts';

type Finished = typeof onTestFinished;

const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');
const VESSEL = 40;

/**
 * A hand that lets the whole of a step fall in at once: its target to the nearest 0.01 g, or past its window by `over`
 * the first time the line `line` is poured.
 */
function exactHand(
  pan: Instrument['controls'],
  slip: { line: string; over: number } | null,
): (line: Line) => void {
  let slipped = false;
  return (line) => {
    if (line.event === 'started') pan.putVessel(VESSEL);
    if (!isStep(line)) return;
    const slips = !slipped && slip?.line === line.line;
    slipped ||= slips;
    const mass = slips ? Number(line.window_g[1]) + (slip?.over ?? 0) : Number(line.target_g);
    pan.addDrop(Math.round(mass * 100) / 100);
  };
}

interface Poured {
  readonly run: Run;
  readonly code: number | string;
  readonly out: string;
  readonly record: RecordFile;
  readonly contents: number;
}

async function pourOnce(
  finished: Finished,
  slip: { line: string; over: number } | null,
  args: readonly string[],
  { shape = 'comma-headed', line = '9600 8N1' } = {},
): Promise<Poured> {
  const { instrument, port } = await served(finished, { shape }, line);
  const out = folder(finished);
  const file = formulaFile(folder(finished));
  const run = consoleRun(
    finished,
    ['pour', '--formula', file, '--port', port.path, '--line', line, '--out', out, ...args],
    exactHand(instrument.controls, slip),
  );
  const code = await run.ended;
  const record = existsSync(join(out, 'as-made.json'))
    ? (JSON.parse(readFileSync(join(out, 'as-made.json'), 'utf8')) as RecordFile)
    : null;
  if (record === null) throw new Error(`no record: ${run.words()}\n${JSON.stringify(run.lines, null, 1)}`);
  return { run, code, out, record, contents: instrument.controls.truth().contents };
}

const marks = (record: RecordFile): string[] =>
  record.asMade.lines.map((line) => `${line.line} ${line.mark}`).sort();
const steps = (run: Run): string[] =>
  linesOf(run.lines, 'step').map((step) => `${step.line}${step.top_up ? ' top-up' : ''}`);

describe.concurrent('pour through a pseudo-terminal', { timeout: 120_000 }, () => {
  it.for([
    ['comma-headed', '2400 7E1'],
    ['two-headed', '9600 8N1'],
  ] as const)(
    'goes from vessel to record by itself, %s at %s',
    async ([shape, line], { expect, onTestFinished }) => {
      const { run, code, out, record, contents } = await pourOnce(onTestFinished, null, ['--shape', shape], {
        shape,
        line,
      });
      expect(code, run.words()).toBe(0);
      expect(run.lines.map((one) => one.event)).toEqual([
        'started',
        'vessel',
        ...['step', 'capture', 'step', 'capture', 'step', 'capture'],
        'closed',
      ]);
      expect(linesOf(run.lines, 'vessel')[0]?.gross_g).toBe('40.00');
      for (const capture of linesOf(run.lines, 'capture')) expect(capture.verdict).toBe('inside');
      const [closed] = linesOf(run.lines, 'closed');
      expect(Math.abs(Number(closed?.total_g) - contents)).toBeLessThanOrEqual(0.02);
      /* 0.15 lavender and 0.01 vetiver. */
      expect(Number(closed?.strength_target)).toBeCloseTo(0.16, 6);
      expect(Number(closed?.strength)).toBeCloseTo(0.16, 2);
      expect(closed?.record).toBe(join(out, 'as-made.json'));
      expect(record.batch.status).toBe('closed');
      expect(
        record.events.some(({ event }) => event.type === 'pour-begun' && event.confirmed === 'by script'),
      ).toBe(true);
      expect(verifyRecord(sha256, record)).toEqual({ ok: true, problems: [] });
      expect(
        readdirSync(out)
          .filter((name) => name.startsWith('as-made'))
          .sort(),
      ).toEqual(['as-made.csv', 'as-made.json']);
      const store = openStore(out);
      try {
        expect(store.journal.batches()).toMatchObject([{ id: record.batch.id, status: 'closed' }]);
        expect(store.journal.events(record.batch.id)).toEqual(record.events);
      } finally {
        store.close();
      }
    },
  );

  it('takes the least correction by itself: every line ends inside its window', async ({
    expect,
    onTestFinished,
  }) => {
    const { run, code, record } = await pourOnce(onTestFinished, { line: 'vetiver', over: 0.06 }, []);
    expect(code, run.words()).toBe(0);
    const [overpour] = linesOf(run.lines, 'overpour');
    expect(overpour).toMatchObject({ line: 'vetiver' });
    expect(overpour?.choices.map((one) => one.choice)).toEqual(['least', 'exact', 'keep']);
    const [correction] = linesOf(run.lines, 'correction');
    expect(correction).toMatchObject({ choice: 'least', scale: overpour?.choices[0]?.scale });
    expect(Number(correction?.scale)).toBeGreaterThan(1);
    expect(marks(record)).toEqual(['ethanol inside', 'lavender inside', 'vetiver inside']);
    const due =
      correction?.targets.filter((one) => one.top_up_g !== null).map((one) => `${one.line} top-up`) ?? [];
    expect(
      steps(run)
        .filter((step) => step.endsWith('top-up'))
        .sort(),
    ).toEqual(due.sort());
    expect(Number(record.batch.scale)).toBeCloseTo(Number(correction?.scale), 6);
  });

  it('takes the exact correction: every line comes to its target', async ({ expect, onTestFinished }) => {
    const { run, code, record } = await pourOnce(onTestFinished, { line: 'vetiver', over: 0.06 }, [
      '--on-overpour',
      'exact',
    ]);
    expect(code, run.words()).toBe(0);
    const [correction] = linesOf(run.lines, 'correction');
    expect(correction?.choice).toBe('exact');
    const earlier = steps(run).indexOf('lavender') < steps(run).indexOf('vetiver');
    expect(steps(run).includes('lavender top-up')).toBe(earlier);
    for (const line of record.asMade.lines.filter((one) => one.line !== 'ethanol'))
      expect(Math.abs(Number(line.deviation)), line.line).toBeLessThanOrEqual(0.011);
  });

  it('keeps and records the truth', async ({ expect, onTestFinished }) => {
    const { run, code, record, contents } = await pourOnce(onTestFinished, { line: 'vetiver', over: 0.06 }, [
      '--on-overpour',
      'keep',
    ]);
    expect(code, run.words()).toBe(0);
    expect(linesOf(run.lines, 'correction')[0]).toMatchObject({ choice: 'keep', scale: '1' });
    expect(marks(record)).toContain('vetiver kept');
    expect(steps(run).filter((step) => step.endsWith('top-up'))).toEqual([]);
    expect(Math.abs(Number(record.asMade.total) - contents)).toBeLessThanOrEqual(0.02);
    const kept = record.asMade.lines.find((one) => one.line === 'vetiver');
    expect(Number(kept?.deviation)).toBeGreaterThan(0.06);
  });

  it('tells a settled underpour once and waits', async ({ expect, onTestFinished }) => {
    const { instrument, port } = await served(onTestFinished);
    const pan = instrument.controls;
    const out = folder(onTestFinished);
    const run = consoleRun(
      onTestFinished,
      ['pour', '--formula', formulaFile(out), '--port', port.path, '--out', out, '--batch', '24g'],
      (line) => {
        if (line.event === 'started') pan.putVessel(VESSEL);
        else if (isStep(line)) pan.addDrop(Math.round(Number(line.target_g) * 50) / 100);
        else if (line.event === 'under') setTimeout(() => pan.addDrop(Number(line.to_go_g)), 1500);
      },
    );
    expect(await run.ended, run.words()).toBe(0);
    expect(linesOf(run.lines, 'under').map((one) => one.line)).toEqual(
      linesOf(run.lines, 'step').map((one) => one.line),
    );
    expect(linesOf(run.lines, 'started')[0]?.total_g).toBe('24');
  });

  it('takes a tared vessel with --tared, and an empty pan without it never', async ({
    expect,
    onTestFinished,
  }) => {
    const { instrument, port } = await served(onTestFinished);
    const pan = instrument.controls;
    const out = folder(onTestFinished);
    const args = ['pour', '--formula', formulaFile(out), '--port', port.path, '--out', out];
    const waiting = consoleRun(onTestFinished, args);
    await expect.poll(() => waiting.lines.length, { timeout: 25_000 }).toBe(1);
    await new Promise((resolve) => setTimeout(resolve, 2500));
    expect(waiting.lines.map((line) => line.event)).toEqual(['started']);
    waiting.child.kill('SIGTERM');
    expect(await waiting.ended).toBe(1);
    expect(waiting.words()).toContain('--resume');
    const run = consoleRun(onTestFinished, [...args, '--tared'], (line) => {
      if (isStep(line)) pan.addDrop(Math.round(Number(line.target_g) * 100) / 100);
    });
    expect(await run.ended, run.words()).toBe(0);
    expect(linesOf(run.lines, 'vessel')).toEqual([{ event: 'vessel', gross_g: '0.00' }]);
  });
});

describe.concurrent('a balance that gives no weight', { timeout: 120_000 }, () => {
  it('is given up at the start, with what it sent; nothing is begun', async ({ expect, onTestFinished }) => {
    const { port } = await served(onTestFinished, { streams: false });
    const timer = setInterval(() => port.write(Buffer.from('ST,+00012.34 zz\r\n')), 100);
    onTestFinished(() => clearInterval(timer));
    const out = folder(onTestFinished);
    const args = ['pour', '--formula', formulaFile(out), '--port', port.path, '--shape', 'comma-headed'];
    const run = consoleRun(onTestFinished, [...args, '--out', out]);
    expect(await run.ended).toBe(1);
    expect(run.lines).toEqual([]);
    expect(run.words()).toMatch(/^what: No weight came from the balance in 15 s: unknown unit "zz"/m);
    expect(run.words()).toMatch(/^where: .+\nnext: Check with "listen"/m);
    const store = openStore(out);
    try {
      expect(store.journal.batches()).toEqual([]);
    } finally {
      store.close();
    }
  });
});

describe.concurrent('verify', { timeout: 120_000 }, () => {
  it('agrees with a record as written, and names what was altered', async ({ expect, onTestFinished }) => {
    const { out, record } = await pourOnce(onTestFinished, null, []);
    const file = join(out, 'as-made.json');
    const good = consoleRun(onTestFinished, ['verify', file]);
    expect(await good.ended).toBe(0);
    expect(good.lines).toMatchObject([{ ok: true, batch: record.batch.id, events: record.events.length }]);

    const net = record.events.findIndex(({ event }) => event.type === 'captured');
    const alter = (change: (copy: RecordFile) => void): string => {
      const copy = structuredClone(record);
      change(copy);
      const path = join(out, 'altered.json');
      writeFileSync(path, JSON.stringify(copy));
      return path;
    };
    const verdict = async (path: string) => {
      const run = consoleRun(onTestFinished, ['verify', path]);
      return { code: await run.ended, lines: run.lines, words: run.words() };
    };
    const strength = await verdict(alter((copy) => Object.assign(copy.asMade, { strength: '0.2' })));
    expect(strength.code).toBe(1);
    expect(strength.lines).toMatchObject([{ ok: false, problems: [{ where: 'asMade.strength' }] }]);
    expect(strength.words).toMatch(/^what: says "0\.2".*\nwhere: .*asMade\.strength\nnext: /m);

    const event = await verdict(
      alter((copy) => Object.assign(copy.events[net]?.event ?? {}, { net: '9.99' })),
    );
    expect(event.code).toBe(1);
    expect(JSON.stringify(event.lines)).toContain(`events[${net}]`);

    const cut = await verdict(alter((copy) => copy.events.pop()));
    expect(cut.code).toBe(1);
    expect(cut.words).toContain('missing at the end');
  });
});
