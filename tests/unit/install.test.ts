import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';

const ROOT = resolve(import.meta.dirname, '../..');
const Lock = z.object({
  packages: z.record(
    z.string(),
    z.object({ gypfile: z.boolean().optional(), resolved: z.string().optional() }),
  ),
});

describe('the install', () => {
  const lock = Lock.parse(JSON.parse(readFileSync(resolve(ROOT, 'package-lock.json'), 'utf8')));

  it('builds no database: npm 10 would compile better-sqlite3 beside its ready-made files, and fail without a compiler', () => {
    expect(
      lock.packages['node_modules/better-sqlite3']?.gypfile,
      'npm drops this line when it writes package-lock.json anew: put "gypfile": false back under node_modules/better-sqlite3',
    ).toBe(false);
  });

  it('names no place to download from, so that every registry serves', () => {
    expect(Object.values(lock.packages).filter((one) => one.resolved !== undefined)).toEqual([]);
  });
});
