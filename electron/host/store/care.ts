import type Database from 'better-sqlite3';
import { onDisk } from './trouble.ts';

/** A check as it is kept: what was ordered, everything that was read, and what came of it. */
export interface KeptCheck {
  readonly n: number;
  readonly profile: string;
  /** RFC 3339, UTC: when it ended. */
  readonly at: string;
  readonly kind: string;
  readonly body: string;
}

/** Balances as they are known, and every check of them. Checks are only ever added. */
export interface CareStore {
  /** What is known of a balance, as JSON; null while nothing was entered. */
  profile(id: string): string | null;
  keepProfile(id: string, body: string): void;
  /** Adds a check. @returns its number */
  addCheck(check: Omit<KeptCheck, 'n'>): number;
  /** Checks of a balance, the latest first; of one kind where it is named. */
  checks(profile: string, kind?: string): readonly KeptCheck[];
}

/** Care of balances on an open database. */
export function openCare(db: Database.Database): CareStore {
  const get = db.prepare<[string], { body: string }>('SELECT body FROM balance_profile WHERE id = ?');
  const put = db.prepare(
    'INSERT INTO balance_profile (id, body) VALUES (?, ?) ON CONFLICT (id) DO UPDATE SET body = excluded.body',
  );
  const add = db.prepare('INSERT INTO balance_check (profile, at, kind, body) VALUES (?, ?, ?, ?)');
  const all = db.prepare<[string], KeptCheck>(
    'SELECT n, profile, at, kind, body FROM balance_check WHERE profile = ? ORDER BY n DESC',
  );
  const ofKind = db.prepare<[string, string], KeptCheck>(
    'SELECT n, profile, at, kind, body FROM balance_check WHERE profile = ? AND kind = ? ORDER BY n DESC',
  );
  return {
    profile: (id) => get.get(id)?.body ?? null,
    keepProfile: (id, body) => {
      onDisk(db.name, () => put.run(id, body));
    },
    addCheck: ({ profile, at, kind, body }) => {
      let n = 0;
      onDisk(db.name, () => {
        n = Number(add.run(profile, at, kind, body).lastInsertRowid);
      });
      return n;
    },
    checks: (profile, kind) => (kind === undefined ? all.all(profile) : ofKind.all(profile, kind)),
  };
}
