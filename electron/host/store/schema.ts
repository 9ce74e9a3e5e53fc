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
];
