import { chmodSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { startStandIn } from '../window/open.ts';
import setup from '../window/setup.ts';
import { ADDRESS, type Started, startWith } from './start-program.ts';

let folder: string;
let data: string;
const running: Started[] = [];
beforeAll(setup);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-data-'));
  data = join(folder, 'data');
});
afterEach(async () => {
  for (const one of running.splice(0)) {
    one.child.kill('SIGKILL');
    await one.ended;
  }
  rmSync(folder, { recursive: true, force: true });
});

function start(): Started {
  const started = startWith(['--no-open', '--data', data]);
  running.push(started);
  return started;
}

/** Starts the desktop on the same data: its exit code and the text of its error box. */
async function desktop(): Promise<{ code: number | null; text: string }> {
  const { child, told } = startStandIn({ data });
  const code = await new Promise<number | null>((ended) => child.once('exit', ended));
  const box = told.find((one) => one.told === 'error-box');
  return { code, text: box?.told === 'error-box' ? box.text : '' };
}

/** What, where and what next: three lines, the second naming the place. */
function expectTelling(text: string, what: RegExp, where: string): void {
  const [first, second, third, ...more] = text.trim().split('\n');
  expect(first).toMatch(what);
  expect(second).toContain(where);
  expect(third).toMatch(/--data/);
  expect(more).toEqual([]);
}

describe('a start with data that cannot be used', () => {
  it('says what, where and what next when a file is in the folder’s place, in both windows', async () => {
    writeFileSync(data, 'a file of mine');
    const started = start();
    expect(await started.ended).toBe(2);
    expectTelling(started.said(), /data folder cannot be written/, data);
    const { code, text } = await desktop();
    expect(code).toBe(2);
    expectTelling(text, /data folder cannot be written/, data);
    expect(readFileSync(data, 'utf8')).toBe('a file of mine');
  });

  it.skipIf(process.getuid?.() === 0)('says so when there is no right to write (not as root)', async () => {
    mkdirSync(data);
    chmodSync(data, 0o500);
    const started = start();
    expect(await started.ended).toBe(2);
    expectTelling(started.said(), /data folder cannot be written/, data);
  });

  it('sets a file that is no database aside, untouched, and begins nothing in its place, in both windows', async () => {
    mkdirSync(data);
    const file = join(data, 'pourwright.sqlite');
    writeFileSync(file, 'not a database, but mine all the same'.repeat(100));
    const before = readFileSync(file);
    const started = start();
    expect(await started.ended).toBe(2);
    expectTelling(started.said(), /damaged.+set aside/, data);
    const aside = readdirSync(data).find((name) => /^pourwright\.damaged-.+\.sqlite$/.test(name));
    expect(readFileSync(join(data, aside ?? 'nothing')).equals(before)).toBe(true);
    const { code, text } = await desktop();
    expect(code).toBe(2);
    expectTelling(text, /damaged/, data);
    expect(readdirSync(data)).not.toContain('pourwright.sqlite');
  });
});

describe('a second start on the same data', () => {
  it('is refused with its reason, in both windows, and the first goes on', async () => {
    const first = start();
    const [, address] = await first.line(ADDRESS);
    const second = start();
    expect(await second.ended).toBe(2);
    expectTelling(second.said(), /Another Pourwright has this database open/, data);
    const { code, text } = await desktop();
    expect(code).toBe(2);
    expectTelling(text, /Another Pourwright has this database open/, data);
    expect((await fetch(String(address))).status).toBe(200);
  });

  it('is let in once the first was killed', async () => {
    const first = start();
    await first.line(ADDRESS);
    first.child.kill('SIGKILL');
    expect(await first.ended).toBe('SIGKILL');
    const second = start();
    expect(await second.line(ADDRESS)).not.toBeNull();
  });
});
