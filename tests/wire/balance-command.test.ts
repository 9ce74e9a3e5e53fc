import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { serialBalance } from '../../drivers/link/serial.ts';
import { listening, weights } from './pan.ts';

const COMMAND = join(import.meta.dirname, '../../electron/console/balance.ts');

it('serves a balance that another program opens, works its pan, unplugs and plugs it in again', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'balance-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  const link = join(folder, 'port');
  const child = spawn(process.execPath, [
    COMMAND,
    '--shape',
    'sign-first',
    '--line',
    '1200 7O1',
    '--room',
    'still',
    '--link',
    link,
  ]);
  onTestFinished(() => {
    child.kill();
  });
  let said = '';
  let errors = '';
  child.stdout.on('data', (text) => {
    said += text;
  });
  child.stderr.on('data', (text) => {
    errors += text;
  });
  await expect.poll(() => said, { timeout: 10_000 }).toContain('"port"');
  const balance = serialBalance({ path: link, shape: 'sign-first', line: '1200 7O1' });
  const { observations } = listening(onTestFinished, balance);
  child.stdin.write('vessel 48.5\n');
  await expect.poll(() => weights(observations).at(-1), { timeout: 8000 }).toBe('48.50 stable');
  child.stdin.write('fault unplug\n');
  await expect.poll(() => balance.state.kind, { timeout: 3000 }).toBe('lost');
  child.stdin.write('fault none\n');
  await expect.poll(() => balance.state.kind, { timeout: 3000 }).toBe('live');
  child.stdin.write('fault nonsense\n');
  await expect.poll(() => errors).toContain('There is no fault "nonsense"');
  await balance.stop();
  child.stdin.write('quit\n');
  await expect.poll(() => child.exitCode, { timeout: 5000 }).toBe(0);
  expect(existsSync(link)).toBe(false);
});

it('says what is wrong with its options', async () => {
  const child = spawn(process.execPath, [COMMAND, '--line', '9600 9N1']);
  let errors = '';
  child.stderr.on('data', (text) => {
    errors += text;
  });
  await expect.poll(() => child.exitCode, { timeout: 10_000 }).toBe(1);
  expect(errors).toContain('data bits 9 are neither 7 nor 8');
});
