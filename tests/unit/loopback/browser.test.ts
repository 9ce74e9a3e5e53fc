import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { appWindowArguments, findBrowser } from '../../../electron/loopback/browser.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pourwright-browsers-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function program(path: string, mode: number): string {
  mkdirSync(join(path, '..'), { recursive: true });
  writeFileSync(path, '#!/bin/sh\n');
  chmodSync(path, mode);
  return path;
}

describe('the browser for the app window', () => {
  it('is the first that can be run, in the order of the names and then of the PATH', () => {
    program(join(folder, 'a', 'chromium'), 0o644);
    const chrome = program(join(folder, 'a', 'google-chrome'), 0o755);
    const chromium = program(join(folder, 'b', 'chromium'), 0o755);
    const path = `${join(folder, 'a')}:${join(folder, 'b')}`;
    expect(findBrowser({ PATH: path }, 'linux')).toBe(chromium);
    expect(findBrowser({ PATH: join(folder, 'a') }, 'linux')).toBe(chrome);
  });

  it('is none where there is none, and never one of the folder one happens to be in', () => {
    expect(findBrowser({ PATH: folder }, 'linux')).toBeNull();
    expect(findBrowser({ PATH: '.:' }, 'linux')).toBeNull();
    expect(findBrowser({}, 'linux')).toBeNull();
    expect(findBrowser({ ProgramFiles: folder }, 'win32')).toBeNull();
  });

  it('is looked for where Windows keeps programs', () => {
    const edge = program(join(folder, 'Microsoft', 'Edge', 'Application', 'msedge.exe'), 0o755);
    expect(findBrowser({ ProgramFiles: '/none', LOCALAPPDATA: folder }, 'win32')).toBe(edge);
  });

  it('keeps its sandbox unless it runs as root', () => {
    expect(appWindowArguments('http://127.0.0.1:1/', '/p', false)).not.toContain('--no-sandbox');
    expect(appWindowArguments('http://127.0.0.1:1/', '/p', true)).toContain('--no-sandbox');
    expect(appWindowArguments('http://127.0.0.1:1/', '/p', false)).toContain('--app=http://127.0.0.1:1/');
  });
});
