import { spawn } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { RecordFile } from '../../core/record/record.ts';
import { openStore } from '../../electron/host/store/store.ts';
import { fillStore } from '../unit/store/given.ts';
import { folder, ROOT } from './console-run.ts';

async function demo(out: string): Promise<{ code: number | null; text: string; seconds: number }> {
  const begun = performance.now();
  const child = spawn(process.execPath, ['electron/console/demo.ts', '--out', out], { cwd: ROOT });
  onTestFinished(() => {
    child.kill('SIGKILL');
  });
  let text = '';
  for (const stream of [child.stdout, child.stderr])
    stream.setEncoding('utf8').on('data', (part: string) => {
      text += part;
    });
  const code = await new Promise<number | null>((done) => {
    child.on('close', done);
  });
  return { code, text, seconds: (performance.now() - begun) / 1000 };
}

describe('the demo', { timeout: 90_000 }, () => {
  it('pours through a pseudo-terminal, corrects an overpour, and leaves record and database beside those of before', async () => {
    const out = folder(onTestFinished);
    const earlier = openStore(out);
    fillStore(earlier);
    earlier.close();
    writeFileSync(join(out, 'as-made.json'), 'the record of an earlier run');
    const { code, text, seconds } = await demo(out);
    expect(code, text).toBe(0);
    expect(seconds).toBeLessThan(30);
    expect(text).toMatch(/Simulated balance on \/dev\//);
    expect(text).toMatch(/captured .* over\n/);
    expect(text).toMatch(/taken: least, the batch becomes/);
    expect(text).toMatch(/Strength as made \d+\.\d\d % by mass/);
    expect(text).toMatch(/every figure recomputed/);
    expect(existsSync(join(out, 'as-made.csv'))).toBe(true);
    const record = JSON.parse(readFileSync(join(out, 'as-made.json'), 'utf8')) as RecordFile;
    const store = openStore(out);
    try {
      const batches = store.journal.batches();
      expect(batches).toHaveLength(3);
      expect(batches.find((one) => one.id === record.batch.id)).toMatchObject({ status: 'closed' });
      expect(['whole', 'torn']).not.toContain(record.batch.id);
    } finally {
      store.close();
    }
    expect(record.asMade.lines.map((line) => line.mark)).not.toContain('over');
  });
});
