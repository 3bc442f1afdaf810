-- Photos. What a list shows of them stands in one table, their bytes in another,
-- so that nothing else has to read past them. A picture on two welds is kept once.
-- A photo that is withdrawn stays, with why and when.

CREATE TABLE pictures (
  sha256 TEXT PRIMARY KEY CHECK (length(sha256) = 64),
  thumb  BLOB, -- the small one; NULL: not made yet
  view   BLOB, -- for a screen; NULL: not made yet, or the picture is no larger
  file   BLOB NOT NULL CHECK (length(file) BETWEEN 1 AND 20971520)
) STRICT;

CREATE TABLE photos (
  id        TEXT PRIMARY KEY CHECK (length(id) = 36),
  at        TEXT NOT NULL CHECK (length(at) = 30), -- when it was put in
  weld      TEXT NOT NULL REFERENCES welds (id),
  role      TEXT NOT NULL CHECK (role IN ('before', 'bead', 'back', 'fracture')),
  media     TEXT NOT NULL CHECK (media IN ('image/jpeg', 'image/png')),
  bytes     INTEGER NOT NULL CHECK (bytes BETWEEN 1 AND 20971520),
  width_px  INTEGER NOT NULL CHECK (width_px BETWEEN 1 AND 32768),
  height_px INTEGER NOT NULL CHECK (height_px BETWEEN 1 AND 32768),
  sha256    TEXT NOT NULL REFERENCES pictures (sha256),
  struck    TEXT CHECK (struck <> ''),
  struck_at TEXT CHECK (length(struck_at) = 30),
  CHECK ((struck IS NULL) = (struck_at IS NULL))
) STRICT, WITHOUT ROWID;

CREATE INDEX photos_by_weld ON photos (weld, at);
