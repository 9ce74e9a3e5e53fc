import type Database from 'better-sqlite3';
import type { StoredEvent } from '../../../core/pour/events.ts';
import { type BatchSummary, summaryOf } from '../../../core/record/summary.ts';
import { takenOf } from '../../../core/record/taken.ts';

/** Keeps what batches are found by, beside their events. */
export interface Summaries {
  /** Writes the summary of a batch anew; called in the transaction that stored its events. */
  put(events: readonly StoredEvent[]): void;
}

type Figures = Pick<BatchSummary, 'strength' | 'strengthU' | 'worst'>;
const NO_FIGURES: Figures = { strength: null, strengthU: null, worst: null };

/** The summary of events, or why they cannot be read as a batch: that is kept with it, and it stays in the list. */
export function triedSummary(events: readonly StoredEvent[]): {
  summary: BatchSummary | null;
  trouble: string | null;
} {
  try {
    const summary = summaryOf(events);
    return { summary, trouble: summary.trouble };
  } catch (cause) {
    return { summary: null, trouble: cause instanceof Error ? cause.message : String(cause) };
  }
}

/** Summaries on an open database. */
export function openSummaries(db: Database.Database): Summaries {
  const insert = db.prepare<[string, string], { no: number }>(
    "INSERT INTO batch_summary (batch, started, marks) VALUES (?, ?, '') ON CONFLICT (batch) DO UPDATE SET marks = '' RETURNING no",
  );
  const fill = db.prepare(
    `UPDATE batch_summary SET formula = ?, operator = ?, ended = ?, strength = ?, strength_u = ?, strength_target = ?,
     worst = ?, marks = ?, trouble = ? WHERE no = ?`,
  );
  const clearLots = db.prepare('DELETE FROM batch_lot WHERE batch = ?');
  const addLot = db.prepare(
    'INSERT INTO batch_lot (batch, lot, made_by, mass, share) VALUES (?, ?, ?, ?, ?)',
  );
  const clearPours = db.prepare('DELETE FROM lot_pour WHERE batch = ?');
  const addPour = db.prepare('INSERT INTO lot_pour (batch, pour, lot, at, g) VALUES (?, ?, ?, ?, ?)');
  const clearWords = db.prepare('DELETE FROM batch_words WHERE rowid = ?');
  const addWords = db.prepare(
    'INSERT INTO batch_words (rowid, name, lot, material, operator, deviation) VALUES (?, ?, ?, ?, ?, ?)',
  );

  return {
    put: (events) => {
      const batch = events[0]?.batch ?? '';
      const start = events[0]?.event;
      const { summary, trouble } = triedSummary(events);
      const { strength, strengthU, worst } = summary ?? NO_FIGURES;
      const name = start?.type === 'started' ? start.formula.name : '';
      const formula = start?.type === 'started' ? start.formula.id : null;
      const operator = start?.type === 'started' ? start.operator : '';
      const marks = summary?.marks.join(', ') ?? '';
      const no = insert.get(batch, events[0]?.at ?? '')?.no ?? 0;
      fill.run(
        formula,
        operator,
        summary?.ended ?? null,
        strength,
        strengthU,
        summary?.strengthTarget ?? null,
        worst,
        marks,
        trouble,
        no,
      );
      clearLots.run(batch);
      const lots = summary?.lots ?? [];
      for (const { lot, madeBy, mass, share } of lots) addLot.run(batch, lot, madeBy, mass, share);
      clearPours.run(batch);
      /* Pours of an open batch are told by its events: these are of batches that have ended. */
      const ended = events.some(({ event }) => event.type === 'closed' || event.type === 'abandoned');
      if (ended) for (const { pour, lot, at, g } of takenOf(events)) addPour.run(batch, pour, lot, at, g);
      clearWords.run(no);
      const lotWords = lots.flatMap(({ lot, name: title }) => [lot, title]).join(' ; ');
      addWords.run(no, name, lotWords, summary?.materials.join(' ; ') ?? '', operator, marks);
    },
  };
}
