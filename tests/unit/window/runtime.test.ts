import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { findRuntime, launchDesktop } from '../../../electron/window/runtime.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-runtime-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const search = (env: Record<string, string>, limit = 3000, platform = 'linux') =>
  findRuntime({ env, platform, package: folder, limit });

function program(name: string, text: string): string {
  const file = join(folder, name);
  mkdirSync(join(file, '..'), { recursive: true });
  writeFileSync(file, text);
  chmodSync(file, 0o755);
  return file;
}

const SCREEN = { DISPLAY: ':0' };

describe('the desktop runtime', () => {
  it('is not looked for without a screen', async () => {
    expect(await search({})).toEqual({ why: expect.stringContaining('no screen') });
  });

  it('is taken where it is', async () => {
    program('path.txt', 'electron');
    const file = program('dist/electron', '');
    expect(await search(SCREEN)).toEqual({ file });
  });

  it('is not taken when its download was broken off', async () => {
    program('dist/electron', 'half');
    program('install.js', 'process.exit(1)');
    expect(await search(SCREEN)).toEqual({ why: expect.stringContaining('no reason given') });
  });

  it('is downloaded where it is not', async () => {
    program(
      'install.js',
      `const fs = require('fs'); fs.mkdirSync(__dirname + '/dist');
       fs.writeFileSync(__dirname + '/dist/electron', ''); fs.writeFileSync(__dirname + '/path.txt', 'electron');`,
    );
    expect(await search(SCREEN)).toEqual({ file: join(folder, 'dist', 'electron') });
  });

  it('is given up at once when its download fails, with the reason', async () => {
    program('install.js', `console.error('Error: no way out\\n    at somewhere'); process.exit(1);`);
    expect(await search(SCREEN)).toEqual({
      why: 'the desktop runtime is not here, and its download failed: Error: no way out',
    });
  });

  it('is not waited for longer than the limit', async () => {
    program('install.js', 'setTimeout(() => {}, 20_000)');
    const began = Date.now();
    expect(await search(SCREEN, 500)).toEqual({ why: expect.stringContaining('in the background') });
    expect(Date.now() - began).toBeLessThan(2000);
  });

  it('is only looked for in the folder named by the environment', async () => {
    program('install.js', `require('fs').writeFileSync(__dirname + '/ran', '')`);
    expect(await search({ ...SCREEN, ELECTRON_OVERRIDE_DIST_PATH: join(folder, 'none') })).toEqual({
      why: `the desktop runtime is not in ${join(folder, 'none')}`,
    });
  });
});

const OPEN = 'echo "Pourwright is open in its own window."';
const launch = (script: string, limit = 3000) =>
  launchDesktop({ file: program('runtime', `#!/bin/sh\n${script}\n`), args: [], limit, answers: [0, 2] });

describe('the desktop window', () => {
  it('is there once it says so, and its end is told', async () => {
    const launched = await launch(`${OPEN}\nexit 0`);
    expect(launched.kind).toBe('open');
    if (launched.kind === 'open') expect(await launched.ended).toBe(0);
  });

  it('may end with an answer instead', async () => {
    expect(await launch('exit 2')).toEqual({ kind: 'ended', code: 2 });
  });

  it('failed when the runtime breaks, with its reason', async () => {
    expect(await launch('echo "cannot open display" >&2; exit 133')).toEqual({
      kind: 'failed',
      why: 'the desktop runtime ended with code 133: cannot open display',
    });
    expect(await launch('kill -SEGV $$')).toMatchObject({
      kind: 'failed',
      why: expect.stringContaining('SIGSEGV'),
    });
  });

  it('failed when it does not come within the limit', async () => {
    expect(await launch('exec sleep 20', 300)).toMatchObject({ kind: 'failed' });
  });

  it('failed when the runtime cannot be run at all', async () => {
    const none = { file: join(folder, 'none'), args: [], limit: 1000, answers: [] };
    expect(await launchDesktop(none)).toMatchObject({
      kind: 'failed',
      why: expect.stringContaining('ENOENT'),
    });
  });
});
