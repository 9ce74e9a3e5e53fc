import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { builtinModules } from 'node:module';
import { join, relative, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { InlineConfig } from 'vite';

export const ROOT = resolve(import.meta.dirname, '..');

/** Folders and files that what is built depends on. */
const SOURCES = ['core', 'drivers', 'electron', 'renderer', 'fixtures', 'package.json', 'package-lock.json'];

/** Modules that stay outside the bundles: the runtime's own, and those with native parts. */
const OUTSIDE = ['electron', 'better-sqlite3', 'serialport', 'node-hid'];

function filesOf(path: string): string[] {
  if (!existsSync(path)) return [];
  if (statSync(path).isFile()) return [path];
  return readdirSync(path, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));
}

/** A mark of the sources as they are: any file added, removed or written since gives another. */
function fingerprint(root: string): string {
  const hash = createHash('sha256');
  for (const file of SOURCES.flatMap((source) => filesOf(join(root, source))).sort()) {
    const { mtimeMs, size } = statSync(file);
    hash.update(`${relative(root, file)}\0${mtimeMs}\0${size}\0`);
  }
  return hash.digest('hex');
}

const stampOf = (root: string): string => join(root, 'dist', 'stamp');

/** Whether `dist` is missing or older than the sources. */
export function isStale(root: string = ROOT): boolean {
  const stamp = stampOf(root);
  return !existsSync(stamp) || readFileSync(stamp, 'utf8') !== fingerprint(root);
}

const shared = (root: string): InlineConfig => ({ configFile: false, logLevel: 'warn', root, envDir: false });

/** The page: Preact, its styles and fonts, nothing inlined so that the strict policy lets it through. */
function windowConfig(root: string, out: string): InlineConfig {
  return {
    ...shared(join(root, 'renderer')),
    base: './',
    build: {
      outDir: join(out, 'window'),
      emptyOutDir: true,
      assetsInlineLimit: 0,
      modulePreload: { polyfill: false },
      target: 'es2022',
    },
  };
}

/** One file for the desktop process: `format` is ES for main, CommonJS for the sandboxed preload. */
function desktopConfig(root: string, out: string, format: 'es' | 'cjs'): InlineConfig {
  const [entry, file] = format === 'es' ? ['main', 'main.js'] : ['preload', 'preload.cjs'];
  return {
    ...shared(root),
    publicDir: false,
    resolve: { conditions: ['node'] },
    ssr: { noExternal: true, external: OUTSIDE },
    build: {
      ssr: join(root, 'electron', 'window', `${entry}.ts`),
      outDir: join(out, 'desktop'),
      emptyOutDir: false,
      target: format === 'es' ? 'node24' : 'chrome140',
      rolldownOptions: {
        external: [...OUTSIDE, /^node:/, ...builtinModules],
        output: { format, entryFileNames: file, codeSplitting: false },
      },
    },
  };
}

/**
 * Builds the window, the desktop's main process and its preload into `dist`. They are built aside and put in place whole,
 * so a build that fails or is broken off leaves the one before.
 */
export async function buildAll(root: string = ROOT): Promise<void> {
  // Loaded here, so that a start that has nothing to build does not pay for it.
  const { build } = await import('vite');
  const mark = fingerprint(root);
  const aside = join(root, 'node_modules', '.cache', `pourwright-build-${process.pid}`);
  rmSync(aside, { recursive: true, force: true });
  mkdirSync(aside, { recursive: true });
  try {
    await build(windowConfig(root, aside));
    await build(desktopConfig(root, aside, 'es'));
    await build(desktopConfig(root, aside, 'cjs'));
    writeFileSync(join(aside, 'stamp'), mark);
    rmSync(join(root, 'dist'), { recursive: true, force: true });
    renameSync(aside, join(root, 'dist'));
  } finally {
    rmSync(aside, { recursive: true, force: true });
  }
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href)
  await buildAll();
