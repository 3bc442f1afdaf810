-- Procedures: ways of welding one kind of joint that repeat. Each revision is a
-- row of its own and is never altered; the last one counts, and retiring a
-- procedure is a revision too.

CREATE TABLE procedures (
  n        INTEGER PRIMARY KEY AUTOINCREMENT,
  id       TEXT NOT NULL UNIQUE CHECK (length(id) = 36),
  name     TEXT NOT NULL CHECK (name <> ''),
  name_key TEXT NOT NULL, -- the name in lower case with single spaces
  revision INTEGER NOT NULL CHECK (revision >= 1),
  at       TEXT NOT NULL CHECK (length(at) = 30),
  retired  INTEGER NOT NULL CHECK (retired IN (0, 1)),
  why      TEXT CHECK (why <> ''), -- what this revision changed, or why it was retired
  ranges   TEXT CHECK (json_type(ranges) = 'array'), -- each variable, low, high, source, why
  runs     TEXT CHECK (json_type(runs) = 'array'), -- passes in order
  fields   TEXT CHECK (json_type(fields) = 'object'), -- what else a sheet asks for, by field
  note     TEXT CHECK (note <> '' AND octet_length(note) <= 4000),

  job_said             TEXT,
  steel                TEXT,
  steel_group          TEXT,
  thickness_mm         REAL CHECK (thickness_mm BETWEEN 0.1 AND 300),
  other_thickness_mm   REAL CHECK (other_thickness_mm BETWEEN 0.1 AND 300),
  thickness_said       TEXT,
  other_thickness_said TEXT,
  form                 TEXT,
  other_form           TEXT,
  joint                TEXT CHECK (joint IN ('butt', 'tee', 'lap', 'corner', 'edge')),
  weld_type            TEXT CHECK (weld_type IN ('fillet', 'square-groove', 'v-groove', 'plug', 'edge', 'bead-on-plate')),
  position             TEXT CHECK (position IN ('flat', 'horizontal', 'vertical-up', 'vertical-down', 'overhead')),
  gap_mm               REAL CHECK (gap_mm > 0 AND gap_mm <= 25),
  coating              TEXT CHECK (coating IN ('bare', 'galvanized', 'cadmium', 'lead-paint', 'chrome', 'paint', 'mill-scale', 'rust', 'unknown-coating')),
  coating_stripped     INTEGER NOT NULL DEFAULT 0 CHECK (coating_stripped IN (0, 1)),
  length_mm            REAL CHECK (length_mm > 0 AND length_mm <= 1000000),
  made_for             TEXT,
  wire_class           TEXT,
  wire_diameter_mm     REAL CHECK (wire_diameter_mm BETWEEN 0.3 AND 8),
  wire_gas             TEXT,
  process              TEXT CHECK (process IN ('111', '114', '135', '136')),
  machine              TEXT NOT NULL REFERENCES machines (name) ON UPDATE CASCADE,
  state                TEXT NOT NULL REFERENCES states (id),

  tap              TEXT CHECK (octet_length(tap) <= 20),
  knob             REAL CHECK (knob BETWEEN 0 AND 1000),
  knob_text        TEXT,
  wire_speed_m_min REAL CHECK (wire_speed_m_min BETWEEN 0.3 AND 40),
  polarity         TEXT CHECK (polarity IN ('dcen', 'dcep', 'ac')),
  extension_mm     REAL CHECK (extension_mm BETWEEN 2 AND 100),
  travel_mm_min    REAL CHECK (travel_mm_min BETWEEN 10 AND 5000),
  voltage_V        REAL CHECK (voltage_V BETWEEN 5 AND 100),
  current_A        REAL CHECK (current_A BETWEEN 5 AND 1000),
  passes           INTEGER CHECK (passes BETWEEN 1 AND 100),
  leg_mm           REAL CHECK (leg_mm BETWEEN 0.5 AND 100),
  preheat_C        REAL CHECK (preheat_C BETWEEN 0 AND 700),
  technique        TEXT,
  how              TEXT CHECK (json_type(how) = 'object'),
  UNIQUE (name_key, revision)
) STRICT;

-- The welds that a revision was written from.
CREATE TABLE procedure_welds (
  procedure INTEGER NOT NULL REFERENCES procedures (n),
  place     INTEGER NOT NULL, -- order as said
  weld      TEXT NOT NULL REFERENCES welds (id),
  tested    INTEGER NOT NULL CHECK (tested IN (0, 1)), -- its passed bend or break test stands behind the revision
  PRIMARY KEY (procedure, place),
  UNIQUE (procedure, weld)
) STRICT, WITHOUT ROWID;

CREATE INDEX procedure_welds_by_weld ON procedure_welds (weld);
