-- Machines and spools that were written down by mistake: withdrawn, they stay, with
-- why and when, and what is recorded of them stays too. A spool is corrected as a
-- machine is: the old value is kept.

ALTER TABLE machines ADD COLUMN struck TEXT CHECK (struck <> ''); -- why it was withdrawn
ALTER TABLE machines ADD COLUMN struck_at TEXT CHECK ((struck IS NULL) = (struck_at IS NULL) AND coalesce(length(struck_at), 30) = 30);

ALTER TABLE spools ADD COLUMN struck TEXT CHECK (struck <> '');
ALTER TABLE spools ADD COLUMN struck_at TEXT CHECK ((struck IS NULL) = (struck_at IS NULL) AND coalesce(length(struck_at), 30) = 30);

CREATE TABLE spool_amendments (
  n     INTEGER PRIMARY KEY AUTOINCREMENT,
  spool INTEGER NOT NULL REFERENCES spools (n),
  at    TEXT NOT NULL CHECK (length(at) = 30),
  field TEXT NOT NULL CHECK (field <> ''),
  old   TEXT,
  new   TEXT
) STRICT;

CREATE INDEX spool_amendments_by_spool ON spool_amendments (spool, n);
