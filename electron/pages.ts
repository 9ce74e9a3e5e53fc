import { readdirSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { extname, join, relative, sep } from 'node:path';

/** One built file of the window, ready to be sent. */
export interface Page {
  readonly type: string;
  readonly body: Buffer<ArrayBuffer>;
}

/** The built files of the window by the path they are asked for, "/" being the page itself. */
export interface Pages {
  /** The file at `path`, or null where there is none. */
  get(path: string): Promise<Page | null>;
}

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
};

const ENTRY = '/index.html';

/**
 * Lists the built window in `folder` once: only what lies there as a plain file of a known type can be asked for, so a
 * path that climbs out, a link or a foreign file finds nothing.
 * @throws Error when the folder holds no page
 */
export function openPages(folder: string): Pages {
  const files = new Map<string, { file: string; type: string }>();
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    const type = TYPES[extname(entry.name)];
    if (!entry.isFile() || type === undefined) continue;
    const file = join(entry.parentPath, entry.name);
    files.set(`/${relative(folder, file).split(sep).join('/')}`, { file, type });
  }
  const entry = files.get(ENTRY);
  if (entry === undefined) throw new Error(`There is no built window in ${folder}.`);
  files.set('/', entry);
  return {
    get: async (path) => {
      const found = files.get(path);
      return found === undefined ? null : { type: found.type, body: await readFile(found.file) };
    },
  };
}

/**
 * Headers of every answer: the page may load only what comes with it, be framed by nobody and send nothing elsewhere.
 * @param connect further sources the page may connect to, such as its own WebSocket
 */
export function safeHeaders(connect: readonly string[] = []): Record<string, string> {
  const policy = {
    'default-src': "'none'",
    'script-src': "'self'",
    'style-src': "'self'",
    'font-src': "'self'",
    'img-src': "'self'",
    'connect-src': ["'self'", ...connect].join(' '),
    'base-uri': "'none'",
    'form-action': "'none'",
    'frame-ancestors': "'none'",
  };
  return {
    'Content-Security-Policy': Object.entries(policy)
      .map(([name, value]) => `${name} ${value}`)
      .join('; '),
    'X-Content-Type-Options': 'nosniff',
    'X-Frame-Options': 'DENY',
    'Referrer-Policy': 'no-referrer',
    'Cross-Origin-Opener-Policy': 'same-origin',
    'Cross-Origin-Resource-Policy': 'same-origin',
    'Permissions-Policy': 'camera=(), microphone=(), geolocation=(), serial=(), usb=(), hid=()',
    'Cache-Control': 'no-store',
  };
}
