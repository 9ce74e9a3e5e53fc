/**
 * The database grows by these steps only, each run once, in order, in one transaction with its mark (user_version).
 * A step is never edited after a release: a new one is added.
 */
export const MIGRATIONS: readonly string[] = [
  `
CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
CREATE TABLE material (key TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT;
CREATE TABLE lot (code TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT;
CREATE TABLE formula (id TEXT PRIMARY KEY, name TEXT NOT NULL, body TEXT NOT NULL) STRICT;

CREATE TABLE batch (
  id TEXT PRIMARY KEY,
  name TEXT NOT NULL,
  started TEXT NOT NULL,
  status TEXT NOT NULL CHECK (status IN ('open', 'closed', 'abandoned')),
  total TEXT
) STRICT;
CREATE INDEX batch_started ON batch (started);

CREATE TABLE event (
  batch TEXT NOT NULL REFERENCES batch (id),
  n INTEGER NOT NULL CHECK (n > 0),
  at TEXT NOT NULL,
  type TEXT NOT NULL,
  body TEXT NOT NULL,
  prev TEXT NOT NULL,
  hash TEXT NOT NULL,
  PRIMARY KEY (batch, n)
) STRICT, WITHOUT ROWID;

CREATE TABLE trace (
  batch TEXT NOT NULL REFERENCES batch (id),
  n INTEGER NOT NULL,
  body TEXT NOT NULL,
  PRIMARY KEY (batch, n)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER event_no_update BEFORE UPDATE ON event BEGIN SELECT RAISE(ABORT, 'events are append-only'); END;
CREATE TRIGGER event_no_delete BEFORE DELETE ON event BEGIN SELECT RAISE(ABORT, 'events are append-only'); END;
CREATE TRIGGER trace_no_update BEFORE UPDATE ON trace BEGIN SELECT RAISE(ABORT, 'traces are append-only'); END;
CREATE TRIGGER trace_no_delete BEFORE DELETE ON trace BEGIN SELECT RAISE(ABORT, 'traces are append-only'); END;
CREATE TRIGGER batch_no_delete BEFORE DELETE ON batch BEGIN SELECT RAISE(ABORT, 'batches are never deleted'); END;
`,
  `
ALTER TABLE batch ADD COLUMN events INTEGER NOT NULL DEFAULT 0;
ALTER TABLE batch ADD COLUMN head TEXT;
UPDATE batch SET
  events = (SELECT count(*) FROM event WHERE event.batch = batch.id),
  head = (SELECT hash FROM event WHERE event.batch = batch.id ORDER BY n DESC LIMIT 1);

CREATE TABLE packed_trace (
  batch TEXT NOT NULL REFERENCES batch (id),
  n INTEGER NOT NULL,
  body BLOB NOT NULL,
  PRIMARY KEY (batch, n)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER packed_trace_no_update BEFORE UPDATE ON packed_trace BEGIN SELECT RAISE(ABORT, 'traces are append-only'); END;
CREATE TRIGGER packed_trace_no_delete BEFORE DELETE ON packed_trace BEGIN SELECT RAISE(ABORT, 'traces are append-only'); END;

CREATE TABLE batch_summary (
  no INTEGER PRIMARY KEY,
  batch TEXT NOT NULL UNIQUE REFERENCES batch (id),
  started TEXT NOT NULL,
  formula TEXT,
  operator TEXT,
  ended TEXT,
  strength TEXT,
  strength_u TEXT,
  strength_target TEXT,
  worst REAL,
  marks TEXT NOT NULL,
  trouble TEXT
) STRICT;
CREATE INDEX batch_summary_started ON batch_summary (started);
CREATE INDEX batch_summary_formula ON batch_summary (formula, no);
CREATE INDEX batch_summary_trouble ON batch_summary (batch) WHERE trouble IS NOT NULL;
CREATE INDEX batch_open ON batch (status) WHERE status = 'open';

CREATE TABLE batch_lot (
  batch TEXT NOT NULL REFERENCES batch (id),
  lot TEXT NOT NULL,
  made_by TEXT,
  mass TEXT NOT NULL,
  share TEXT NOT NULL,
  PRIMARY KEY (batch, lot)
) STRICT, WITHOUT ROWID;
CREATE INDEX batch_lot_lot ON batch_lot (lot);
CREATE INDEX batch_lot_made_by ON batch_lot (made_by, lot) WHERE made_by IS NOT NULL;

CREATE VIRTUAL TABLE batch_words USING fts5(
  name, lot, material, operator, deviation,
  content='', contentless_delete=1, prefix='1 2 3', tokenize="unicode61 remove_diacritics 2"
);
`,
  `
CREATE TABLE stock_entry (
  n INTEGER PRIMARY KEY,
  lot TEXT NOT NULL,
  at TEXT NOT NULL,
  kind TEXT NOT NULL,
  g TEXT NOT NULL,
  body TEXT NOT NULL
) STRICT;
CREATE INDEX stock_entry_lot ON stock_entry (lot, n);
CREATE TRIGGER stock_entry_no_update BEFORE UPDATE ON stock_entry BEGIN SELECT RAISE(ABORT, 'entries of stock are append-only'); END;
CREATE TRIGGER stock_entry_no_delete BEFORE DELETE ON stock_entry BEGIN SELECT RAISE(ABORT, 'entries of stock are append-only'); END;

CREATE TABLE lot_pour (
  batch TEXT NOT NULL REFERENCES batch (id),
  pour INTEGER NOT NULL,
  lot TEXT NOT NULL,
  at TEXT NOT NULL,
  g TEXT NOT NULL,
  PRIMARY KEY (batch, pour)
) STRICT, WITHOUT ROWID;
CREATE INDEX lot_pour_lot ON lot_pour (lot, at, g);

CREATE TABLE formula_version (
  formula TEXT NOT NULL,
  n INTEGER NOT NULL CHECK (n > 0),
  at TEXT NOT NULL,
  fixed INTEGER NOT NULL DEFAULT 0 CHECK (fixed IN (0, 1)),
  adopted TEXT,
  body TEXT NOT NULL,
  PRIMARY KEY (formula, n)
) STRICT, WITHOUT ROWID;
CREATE INDEX formula_version_adopted ON formula_version (adopted) WHERE adopted IS NOT NULL;
CREATE TRIGGER formula_version_no_update BEFORE UPDATE ON formula_version WHEN OLD.fixed = 1
  BEGIN SELECT RAISE(ABORT, 'a version that was poured, or is part of another formula, never changes'); END;
CREATE TRIGGER formula_version_no_delete BEFORE DELETE ON formula_version
  BEGIN SELECT RAISE(ABORT, 'versions of formulas are never deleted'); END;
CREATE TABLE formula_accord (
  formula TEXT NOT NULL,
  n INTEGER NOT NULL,
  accord TEXT NOT NULL,
  accord_n INTEGER NOT NULL,
  PRIMARY KEY (formula, n, accord, accord_n)
) STRICT, WITHOUT ROWID;
CREATE INDEX formula_accord_accord ON formula_accord (accord, accord_n);
CREATE TABLE formula_batch (batch TEXT PRIMARY KEY REFERENCES batch (id), formula TEXT NOT NULL, n INTEGER NOT NULL) STRICT;
CREATE INDEX formula_batch_formula ON formula_batch (formula, n);
CREATE TRIGGER formula_batch_no_update BEFORE UPDATE ON formula_batch BEGIN SELECT RAISE(ABORT, 'what a batch was poured from never changes'); END;
CREATE TRIGGER formula_batch_no_delete BEFORE DELETE ON formula_batch BEGIN SELECT RAISE(ABORT, 'what a batch was poured from never changes'); END;

CREATE TABLE trial (batch TEXT PRIMARY KEY REFERENCES batch (id), body TEXT NOT NULL) STRICT;
CREATE TABLE trial_note (
  n INTEGER PRIMARY KEY,
  batch TEXT NOT NULL REFERENCES batch (id),
  at TEXT NOT NULL,
  body TEXT NOT NULL
) STRICT;
CREATE INDEX trial_note_batch ON trial_note (batch, n);
CREATE TRIGGER trial_note_no_update BEFORE UPDATE ON trial_note BEGIN SELECT RAISE(ABORT, 'trial notes are append-only'); END;
CREATE TRIGGER trial_note_no_delete BEFORE DELETE ON trial_note BEGIN SELECT RAISE(ABORT, 'trial notes are append-only'); END;

CREATE TABLE balance_profile (id TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT;
CREATE TABLE balance_check (
  n INTEGER PRIMARY KEY,
  profile TEXT NOT NULL,
  at TEXT NOT NULL,
  kind TEXT NOT NULL,
  body TEXT NOT NULL
) STRICT;
CREATE INDEX balance_check_profile ON balance_check (profile, kind, n);
CREATE TRIGGER balance_check_no_update BEFORE UPDATE ON balance_check BEGIN SELECT RAISE(ABORT, 'checks are append-only'); END;
CREATE TRIGGER balance_check_no_delete BEFORE DELETE ON balance_check BEGIN SELECT RAISE(ABORT, 'checks are append-only'); END;

CREATE TABLE learner (id TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT;
CREATE TABLE class (id TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT;
CREATE TABLE exercise (id TEXT PRIMARY KEY, body TEXT NOT NULL) STRICT;
CREATE TABLE attempt (
  n INTEGER PRIMARY KEY,
  learner TEXT NOT NULL,
  lesson TEXT NOT NULL,
  at TEXT NOT NULL,
  batch TEXT,
  body TEXT NOT NULL
) STRICT;
CREATE INDEX attempt_learner ON attempt (learner, lesson, n);
CREATE TRIGGER attempt_no_update BEFORE UPDATE ON attempt BEGIN SELECT RAISE(ABORT, 'attempts are append-only'); END;
CREATE TRIGGER attempt_no_delete BEFORE DELETE ON attempt BEGIN SELECT RAISE(ABORT, 'attempts are append-only'); END;
`,
];

/** The step that brings the summaries of batches as they are: a database older than it has them made from its events. */
export const SUMMARIES_SINCE = 3;
