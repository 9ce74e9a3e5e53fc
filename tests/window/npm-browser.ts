import { execFile } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, resolve } from 'node:path';
import { promisify } from 'node:util';

const run = promisify(execFile);
const ROOT = resolve(import.meta.dirname, '../..');

/** A browser unpacked from its npm package, and the environment it needs on this machine. */
export interface NpmBrowser {
  readonly file: string;
  readonly env: Record<string, string>;
}

/** Fonts of the package only, so that a machine without fonts shows text too. */
const fontsOf = (folder: string): string => `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
  <dir>${folder}/fonts</dir>
  <dir>/usr/share/fonts</dir>
  <cachedir>${folder}/fonts-cache</cachedir>
</fontconfig>
`;

function packageVersion(): string {
  const entry = createRequire(import.meta.url).resolve('@sparticuz/chromium');
  const manifest = join(dirname(entry), '..', '..', 'package.json');
  return String((JSON.parse(readFileSync(manifest, 'utf8')) as { version: unknown }).version);
}

/**
 * Unpacks the package's browser, its fonts and the shared libraries it brings. The package writes to the temporary folder
 * and brings its libraries only where it takes the machine for a server without them: a child process is told both.
 */
async function unpack(folder: string): Promise<void> {
  const aside = `${folder}.${process.pid}`;
  rmSync(aside, { recursive: true, force: true });
  mkdirSync(aside, { recursive: true });
  try {
    const script = "import('@sparticuz/chromium').then((found) => found.default.executablePath())";
    await run(process.execPath, ['--input-type=module', '-e', script], {
      cwd: ROOT,
      env: { ...process.env, TMPDIR: aside, AWS_EXECUTION_ENV: 'AWS_Lambda_nodejs24.x' },
    });
    writeFileSync(join(aside, 'fonts', 'fonts.conf'), fontsOf(folder));
    if (!existsSync(folder)) renameSync(aside, folder);
  } finally {
    rmSync(aside, { recursive: true, force: true });
  }
}

/** Shared libraries that the program wants and this machine has not. */
async function missingLibraries(file: string): Promise<string[]> {
  const { stdout } = await run('ldd', [file]);
  return stdout
    .split('\n')
    .filter((line) => line.includes('not found'))
    .map((line) => line.trim().split(' ')[0] ?? '');
}

/**
 * The browser that npm brings, unpacked once into `node_modules/.cache`. Where the machine lacks shared libraries, those of
 * the package are lent to the browser alone.
 * @throws Error on other machines than Linux x64, for which the package has no browser
 */
export async function npmBrowser(): Promise<NpmBrowser> {
  if (process.platform !== 'linux' || process.arch !== 'x64')
    throw new Error(
      'No browser for the window tests. Install Chromium, Chrome or Edge, or name one by POURWRIGHT_BROWSER.',
    );
  const folder = join(ROOT, 'node_modules', '.cache', `pourwright-browser-${packageVersion()}`);
  if (!existsSync(folder)) await unpack(folder);
  const file = join(folder, 'chromium');
  const env: Record<string, string> = { FONTCONFIG_PATH: join(folder, 'fonts') };
  if ((await missingLibraries(file)).length > 0) env.LD_LIBRARY_PATH = join(folder, 'al2023', 'lib');
  return { file, env };
}
