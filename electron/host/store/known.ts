import type Database from 'better-sqlite3';
import type { Formula, Material } from '../../../core/formula/types.ts';

/** Materials, and the heads of all formulas. */
export interface Known {
  readonly materials: readonly Material[];
  readonly formulas: readonly Formula[];
}

/** Bodies of a table, those parsed anew that changed; the same list as long as none did. */
function parsedOnce<T>(db: Database.Database, table: string, key: string): () => readonly T[] {
  const all = db.prepare<[], { key: string; body: string }>(`SELECT ${key} AS key, body FROM ${table}`);
  let kept = new Map<string, { readonly body: string; readonly value: T }>();
  let list: readonly T[] = [];
  return () => {
    const rows = all.all();
    let changed = rows.length !== kept.size;
    const next = new Map(
      rows.map((row) => {
        const there = kept.get(row.key);
        if (there?.body === row.body) return [row.key, there] as const;
        changed = true;
        return [row.key, { body: row.body, value: JSON.parse(row.body) as T }] as const;
      }),
    );
    kept = next;
    if (changed) list = [...next.values()].map(({ value }) => value);
    return list;
  };
}

/** What is known on an open database: looked at again only when something was stored since, by this program alone. */
export function openKnown(db: Database.Database): () => Known {
  const stamp = db.prepare<[], { n: number }>('SELECT total_changes() AS n');
  const materials = parsedOnce<Material>(db, 'material', 'key');
  const formulas = parsedOnce<Formula>(db, 'formula', 'id');
  let seen = -1;
  let known: Known = { materials: [], formulas: [] };
  return () => {
    const n = stamp.get()?.n ?? 0;
    if (n === seen) return known;
    seen = n;
    const next = { materials: materials(), formulas: formulas() };
    if (next.materials !== known.materials || next.formulas !== known.formulas) known = next;
    return known;
  };
}
