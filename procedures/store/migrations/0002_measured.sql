-- What is measured on a machine and what it does: wire run out, instruments
-- read, the cut-out, arc time, the side that was fitted by hand; and corrections
-- of a machine. Run-outs, measurements and cut-outs are numbered from 1 on each
-- machine; a number once given is not given again, and a record that is
-- withdrawn stays, with why and when.

ALTER TABLE welds ADD COLUMN arc_s REAL CHECK (arc_s BETWEEN 0.5 AND 36000); -- the arc burned

CREATE TABLE runouts (
  id              TEXT PRIMARY KEY CHECK (length(id) = 36),
  machine         TEXT NOT NULL REFERENCES machines (name) ON UPDATE CASCADE,
  number          INTEGER NOT NULL CHECK (number >= 1),
  at              TEXT NOT NULL CHECK (length(at) = 30),
  state           TEXT NOT NULL REFERENCES states (id),
  tap             TEXT CHECK (tap <> ''),
  mark            REAL NOT NULL CHECK (mark BETWEEN 0 AND 1000), -- of the knob
  length_mm       REAL NOT NULL CHECK (length_mm BETWEEN 10 AND 100000),
  duration_s      REAL NOT NULL CHECK (duration_s BETWEEN 1 AND 300),
  short_length_mm REAL CHECK (short_length_mm BETWEEN 10 AND 100000), -- the short run, where one was made as well
  short_s         REAL CHECK (short_s BETWEEN 1 AND 300),
  struck          TEXT CHECK (struck <> ''), -- why it was withdrawn
  struck_at       TEXT CHECK (length(struck_at) = 30),
  UNIQUE (machine, number),
  CHECK ((short_length_mm IS NULL) = (short_s IS NULL)),
  CHECK (short_s IS NULL OR duration_s - short_s >= 2 AND length_mm > short_length_mm),
  CHECK ((length_mm - coalesce(short_length_mm, 0)) / 1000 / (duration_s - coalesce(short_s, 0)) * 60 BETWEEN 0.3 AND 40), -- m/min
  CHECK ((struck IS NULL) = (struck_at IS NULL))
) STRICT, WITHOUT ROWID;

-- One thing measured; what was measured at one time has one time. A spool can be
-- weighed before any machine is written down.
CREATE TABLE measurements (
  id        TEXT PRIMARY KEY CHECK (length(id) = 36),
  machine   TEXT REFERENCES machines (name) ON UPDATE CASCADE,
  number    INTEGER NOT NULL CHECK (number >= 1),
  at        TEXT NOT NULL CHECK (length(at) = 30),
  state     TEXT REFERENCES states (id),
  spool     TEXT REFERENCES spools (id), -- spoken of, or welded with
  kind      TEXT NOT NULL, -- its ending names the unit of the value
  tap       TEXT CHECK (tap <> ''),
  knob      REAL CHECK (knob BETWEEN 0 AND 1000), -- mark it was measured at
  value     REAL NOT NULL, -- nought is a value
  note      TEXT CHECK (note <> ''),
  struck    TEXT CHECK (struck <> ''),
  struck_at TEXT CHECK (length(struck_at) = 30),
  UNIQUE (machine, number),
  CHECK ((machine IS NULL) = (state IS NULL)),
  CHECK (CASE kind
    WHEN 'open_V'        THEN value BETWEEN 5 AND 200
    WHEN 'load_V'        THEN value BETWEEN 5 AND 100
    WHEN 'terminals_V'   THEN value BETWEEN 5 AND 100
    WHEN 'gun_lead_V'    THEN value BETWEEN 0 AND 30
    WHEN 'work_lead_V'   THEN value BETWEEN 0 AND 30
    WHEN 'clamp_V'       THEN value BETWEEN 0 AND 30
    WHEN 'line_idle_V'   THEN value BETWEEN 90 AND 700
    WHEN 'line_loaded_V' THEN value BETWEEN 60 AND 700
    WHEN 'current_A'     THEN value BETWEEN 5 AND 1000
    WHEN 'stub'          THEN value BETWEEN 0 AND 1000 -- a mark of the knob
    WHEN 'burn_back'     THEN value BETWEEN 0 AND 1000 -- a mark of the knob
    WHEN 'tip'           THEN value = 0 -- an event
    WHEN 'fed_mm'        THEN value BETWEEN 10 AND 1000000
    WHEN 'wire_left_g'   THEN value BETWEEN 0 AND 50000 AND spool IS NOT NULL
    ELSE 0 END),
  CHECK ((struck IS NULL) = (struck_at IS NULL))
) STRICT, WITHOUT ROWID;

CREATE UNIQUE INDEX measurements_of_no_machine ON measurements (number) WHERE machine IS NULL;
CREATE INDEX measurements_by_spool ON measurements (spool, at);

-- The thermal cut-out opened.
CREATE TABLE cutouts (
  id        TEXT PRIMARY KEY CHECK (length(id) = 36),
  machine   TEXT NOT NULL REFERENCES machines (name) ON UPDATE CASCADE,
  number    INTEGER NOT NULL CHECK (number >= 1),
  at        TEXT NOT NULL CHECK (length(at) = 30),
  state     TEXT NOT NULL REFERENCES states (id),
  arc_s     REAL NOT NULL CHECK (arc_s BETWEEN 1 AND 600), -- in the 10 min before
  current_A REAL CHECK (current_A BETWEEN 5 AND 1000),
  tap       TEXT CHECK (tap <> ''),
  knob      REAL CHECK (knob BETWEEN 0 AND 1000),
  ambient_C REAL CHECK (ambient_C BETWEEN -40 AND 60),
  note      TEXT CHECK (note <> ''),
  struck    TEXT CHECK (struck <> ''),
  struck_at TEXT CHECK (length(struck_at) = 30),
  UNIQUE (machine, number),
  CHECK ((struck IS NULL) = (struck_at IS NULL))
) STRICT, WITHOUT ROWID;

-- Stretches of arc. stop NULL: it burns; at most one burns on a machine. The
-- second of the clock is cut off before the two are taken apart, so that the
-- limit of 600 s never refuses what is within it.
CREATE TABLE arcs (
  id      TEXT PRIMARY KEY CHECK (length(id) = 36),
  machine TEXT NOT NULL REFERENCES machines (name) ON UPDATE CASCADE,
  state   TEXT NOT NULL REFERENCES states (id),
  start   TEXT NOT NULL CHECK (length(start) = 30),
  stop    TEXT CHECK (length(stop) = 30),
  weld    TEXT REFERENCES welds (id), -- that it was counted to
  CHECK (stop > start AND unixepoch(stop) - unixepoch(start) <= 600),
  CHECK (weld IS NULL OR stop IS NOT NULL)
) STRICT, WITHOUT ROWID;

CREATE UNIQUE INDEX arcs_burning ON arcs (machine) WHERE stop IS NULL;
CREATE INDEX arcs_by_time ON arcs (machine, start);
CREATE INDEX arcs_by_weld ON arcs (weld);

-- The direct-current side fitted by hand. It belongs to a state and stays with
-- those that follow. Each correction is a version; the last counts.
CREATE TABLE rebuilds (
  state          TEXT NOT NULL REFERENCES states (id),
  version        INTEGER NOT NULL CHECK (version >= 1),
  at             TEXT NOT NULL CHECK (length(at) = 30),
  ac_V           REAL CHECK (ac_V BETWEEN 5 AND 200), -- rms, no load
  capacitance_F  REAL CHECK (capacitance_F BETWEEN 1e-6 AND 10), -- all together
  capacitors     INTEGER CHECK (capacitors BETWEEN 1 AND 100), -- side by side
  capacitor_V    REAL CHECK (capacitor_V BETWEEN 5 AND 1000), -- rating
  ripple_A       REAL CHECK (ripple_A BETWEEN 0.1 AND 10000), -- rating, all together
  bleeder_ohm    REAL CHECK (bleeder_ohm BETWEEN 0.1 AND 1e8),
  bleeder_W      REAL CHECK (bleeder_W BETWEEN 0.1 AND 10000), -- rating
  diode_V        REAL CHECK (diode_V BETWEEN 0.2 AND 3), -- lost in one
  rectifier_A    REAL CHECK (rectifier_A BETWEEN 1 AND 5000), -- rating
  rectifier_fan  INTEGER CHECK (rectifier_fan IN (0, 1)),
  rectifier_stat INTEGER CHECK (rectifier_stat IN (0, 1)), -- a thermal switch of its own
  mains_Hz       REAL CHECK (mains_Hz BETWEEN 40 AND 400),
  note           TEXT CHECK (note <> ''),
  PRIMARY KEY (state, version)
) STRICT, WITHOUT ROWID;

-- Corrections of machines. The old value is kept.
CREATE TABLE machine_amendments (
  n       INTEGER PRIMARY KEY AUTOINCREMENT,
  machine INTEGER NOT NULL REFERENCES machines (n),
  at      TEXT NOT NULL CHECK (length(at) = 30),
  field   TEXT NOT NULL CHECK (field <> ''),
  old     TEXT,
  new     TEXT
) STRICT;

CREATE INDEX machine_amendments_by_machine ON machine_amendments (machine, n);
