import {
  chmodSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import setup from '../window/setup.ts';
import { ADDRESS, type Started, startWith } from './start-program.ts';

let folder: string;
let data: string;
const running: Started[] = [];
beforeAll(setup);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-start-'));
  data = join(folder, 'data');
});
afterEach(async () => {
  for (const one of running.splice(0)) {
    one.child.kill('SIGKILL');
    await one.ended;
  }
  rmSync(folder, { recursive: true, force: true });
});

function start(args: readonly string[], env: Record<string, string | undefined> = {}): Started {
  const started = startWith([...args, '--data', data], env);
  running.push(started);
  return started;
}

/** A browser of the test's own on the PATH: a shell script. */
function browserThat(script: string): Record<string, string> {
  const file = join(folder, 'chromium');
  writeFileSync(file, `#!/bin/sh\n${script}\n`);
  chmodSync(file, 0o755);
  return { PATH: `${folder}:/usr/bin:/bin`, DISPLAY: ':77' };
}

const freed = (port: number): Promise<boolean> =>
  new Promise((resolve) => {
    connect(port, '127.0.0.1')
      .on('connect', () => resolve(false))
      .on('error', () => resolve(true));
  });

describe('the start', () => {
  it('tells in one line, within 10 s, why there is no desktop window, and goes on in a browser', async () => {
    const bare = { DISPLAY: ':77', PATH: folder, ELECTRON_OVERRIDE_DIST_PATH: folder };
    const started = start([], bare);
    const [, address] = await started.line(ADDRESS);
    expect(started.elapsed()).toBeLessThan(10_000);
    const lines = started.said().trim().split('\n');
    expect(lines).toHaveLength(2);
    expect(lines[0]).toBe(
      `No desktop window: the desktop runtime is not in ${folder}. The same program opens in a browser instead.`,
    );
    expect((await fetch(String(address))).status).toBe(200);
  });

  it('asks nothing of the network where there is no screen', async () => {
    const started = start([]);
    await started.line(ADDRESS);
    expect(started.said()).toMatch(/^No desktop window: there is no screen/);
  });

  it('prints only the address with --no-open', async () => {
    const started = start(['--no-open'], browserThat(`touch ${folder}/opened; sleep 20`));
    await started.line(ADDRESS);
    expect(started.said()).toMatch(/^Pourwright is at \S+\n$/);
    expect(existsSync(join(folder, 'opened'))).toBe(false);
  });

  it('opens an installed browser’s own window, and ends when it is closed', async () => {
    const env = browserThat(`echo "$@" > ${folder}/args; sleep 2.5`);
    const started = start(['--browser'], env);
    await started.line(/^Pourwright opens in a window of/m);
    await expect.poll(() => existsSync(join(folder, 'args')), { timeout: 5000 }).toBe(true);
    await expect.poll(() => readFileSync(join(folder, 'args'), 'utf8')).toMatch(/--app=/);
    const address = /--app=(\S+)/.exec(readFileSync(join(folder, 'args'), 'utf8'))?.[1];
    expect((await fetch(String(address))).status).toBe(200);
    expect(started.said()).not.toMatch(ADDRESS);
    expect(await started.ended).toBe(0);
    expect(await freed(Number(new URL(String(address)).port))).toBe(true);
  });

  it('prints the address when the browser shows no window', async () => {
    const started = start(['--browser'], browserThat('exit 1'));
    const [, address] = await started.line(ADDRESS);
    expect(started.said()).toMatch(/The browser showed no window/);
    expect((await fetch(String(address))).status).toBe(200);
  });

  it.each(['SIGINT', 'SIGTERM'] as const)('puts everything away at %s', async (signal) => {
    const started = start(['--no-open']);
    const [, , port] = await started.line(ADDRESS);
    started.child.kill(signal);
    expect(await started.ended).toBe(0);
    expect(await freed(Number(port))).toBe(true);
    // A database that was closed has taken its write-ahead log in.
    expect(readdirSync(data).filter((name) => /-wal$|-shm$/.test(name))).toEqual([]);
  });

  it('refuses an unknown option and explains itself', async () => {
    const wrong = start(['--brwoser']);
    expect(await wrong.ended).toBe(1);
    expect(wrong.said()).toMatch(/unknown option '--brwoser'[\s\S]*--browser/);
    const help = start(['--help']);
    expect(await help.ended).toBe(0);
    for (const option of ['--browser', '--no-open', '--data']) expect(help.said()).toContain(option);
  });
});
