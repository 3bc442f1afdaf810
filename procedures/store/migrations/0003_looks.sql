-- What is seen of a bead later on: a bead rated by thirds, a picture looked at
-- again, and how the part did in use. A record that is withdrawn stays, with why
-- and when.

ALTER TABLE welds ADD COLUMN thirds TEXT CHECK (thirds GLOB '[0-5],[0-5],[0-5]' AND thirds <> '0,0,0'); -- start, middle, end; 0 not rated

CREATE TABLE reratings (
  id        TEXT PRIMARY KEY CHECK (length(id) = 36),
  weld      TEXT NOT NULL REFERENCES welds (id),
  at        TEXT NOT NULL CHECK (length(at) = 30),
  rating    INTEGER NOT NULL CHECK (rating BETWEEN 1 AND 5),
  blind     INTEGER NOT NULL CHECK (blind IN (0, 1)), -- settings, mark and earlier rating were covered
  note      TEXT CHECK (note <> '' AND octet_length(note) <= 4000),
  struck    TEXT CHECK (struck <> ''),
  struck_at TEXT CHECK (length(struck_at) = 30),
  CHECK ((struck IS NULL) = (struck_at IS NULL))
) STRICT, WITHOUT ROWID;

CREATE INDEX reratings_by_weld ON reratings (weld, at);

CREATE TABLE followups (
  id        TEXT PRIMARY KEY CHECK (length(id) = 36),
  weld      TEXT NOT NULL REFERENCES welds (id),
  at        TEXT NOT NULL CHECK (length(at) = 30), -- when it was looked at, or failed
  held      INTEGER NOT NULL CHECK (held IN (0, 1)),
  note      TEXT CHECK (note <> '' AND octet_length(note) <= 4000),
  struck    TEXT CHECK (struck <> ''),
  struck_at TEXT CHECK (length(struck_at) = 30),
  CHECK ((struck IS NULL) = (struck_at IS NULL))
) STRICT, WITHOUT ROWID;

CREATE INDEX followups_by_weld ON followups (weld, at);
CREATE INDEX failures_in_use ON followups (weld, at) WHERE held = 0 AND struck IS NULL;
