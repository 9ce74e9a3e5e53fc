import { join } from 'node:path';
import Database from 'better-sqlite3';

/** Events as they stand on disk under the test's folder, in their order. */
export function eventsStored(folder: string): { type: string; body: string }[] {
  const db = new Database(join(folder, 'data', 'pourwright.sqlite'), { readonly: true });
  try {
    return db.prepare('SELECT type, body FROM event ORDER BY n').all() as { type: string; body: string }[];
  } finally {
    db.close();
  }
}
