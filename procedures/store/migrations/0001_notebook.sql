-- The notebook. Every quantity names its unit in its column. NULL: not known.
-- Times are UTC text of one width, so that the order of the text is the order
-- of time. The CHECKs repeat the limits of the Validate methods.

CREATE TABLE machines (
  n              INTEGER PRIMARY KEY AUTOINCREMENT, -- order written down
  id             TEXT NOT NULL UNIQUE CHECK (length(id) = 36),
  name           TEXT NOT NULL UNIQUE CHECK (octet_length(name) BETWEEN 1 AND 60),
  name_key       TEXT NOT NULL UNIQUE, -- the name without regard to case and spacing
  knob_min       REAL CHECK (knob_min BETWEEN 0 AND 1000),
  knob_max       REAL CHECK (knob_max BETWEEN 0 AND 1000 AND knob_max >= coalesce(knob_min, 0)),
  knob_step      REAL CHECK (knob_step BETWEEN 0 AND coalesce(knob_max, 0)),
  wire_min_m_min REAL CHECK (wire_min_m_min BETWEEN 0.3 AND 40),
  wire_max_m_min REAL CHECK (wire_max_m_min BETWEEN 0.3 AND 40 AND (wire_min_m_min IS NULL OR wire_min_m_min < wire_max_m_min)),
  rated_A        REAL CHECK (rated_A BETWEEN 5 AND 1000),
  rated_V        REAL CHECK (rated_V BETWEEN 5 AND 100),
  duty_percent   REAL CHECK (duty_percent BETWEEN 1 AND 100),
  max_A          REAL CHECK (max_A BETWEEN 5 AND 1000 AND (rated_A IS NULL OR rated_A <= max_A)),
  processes      TEXT, -- ISO 4063 numbers with a space between
  input_V        REAL CHECK (input_V BETWEEN 90 AND 700),
  input_A        REAL CHECK (input_A BETWEEN 1 AND 400),
  breaker_A      REAL CHECK (breaker_A BETWEEN 5 AND 400),
  cord_awg       INTEGER CHECK (cord_awg BETWEEN 2 AND 18 AND cord_awg % 2 = 0),
  cord_length_mm REAL CHECK (cord_length_mm BETWEEN 100 AND 100000),
  note           TEXT,
  added_at       TEXT NOT NULL CHECK (length(added_at) = 30)
) STRICT;

-- A machine between two changes. What a change can alter is kept here, so that
-- the machine as it was stays on record.
CREATE TABLE states (
  id       TEXT PRIMARY KEY CHECK (length(id) = 36),
  machine  INTEGER NOT NULL REFERENCES machines (n),
  number   INTEGER NOT NULL CHECK (number >= 1),
  what     TEXT NOT NULL CHECK (what <> ''),
  kind     TEXT NOT NULL CHECK (kind IN ('original', 'output', 'feed') AND (kind = 'original') = (number = 1)),
  since    TEXT NOT NULL CHECK (length(since) = 30),
  output   TEXT CHECK (output IN ('ac', 'dcen', 'dcep', 'dc')),
  rebuilt  INTEGER NOT NULL DEFAULT 0 CHECK (rebuilt IN (0, 1)),
  UNIQUE (machine, number)
) STRICT, WITHOUT ROWID;

CREATE TABLE taps (
  machine  INTEGER NOT NULL REFERENCES machines (n),
  place    INTEGER NOT NULL CHECK (place BETWEEN 1 AND 24), -- from the coldest
  name     TEXT NOT NULL CHECK (octet_length(name) BETWEEN 1 AND 20),
  open_V   REAL CHECK (open_V BETWEEN 1 AND 200),
  load_V   REAL CHECK (load_V BETWEEN 1 AND 200),
  how      TEXT,
  PRIMARY KEY (machine, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE spools (
  n                INTEGER PRIMARY KEY AUTOINCREMENT,
  id               TEXT NOT NULL UNIQUE CHECK (length(id) = 36),
  name             TEXT NOT NULL UNIQUE CHECK (octet_length(name) BETWEEN 1 AND 60),
  name_key         TEXT NOT NULL UNIQUE,
  wire_class       TEXT NOT NULL CHECK (wire_class <> ''),
  wire_diameter_mm REAL NOT NULL CHECK (wire_diameter_mm BETWEEN 0.3 AND 8),
  wire_gas         TEXT,
  wire_g           REAL CHECK (wire_g BETWEEN 10 AND 50000), -- when opened
  opened           TEXT CHECK (length(opened) = 30),
  note             TEXT,
  added_at         TEXT NOT NULL CHECK (length(added_at) = 30)
) STRICT;

-- What was suggested, with all that it was based on. A suggestion may speak of
-- the built-in example machine, so its machine is a plain name.
CREATE TABLE suggestions (
  n                INTEGER PRIMARY KEY AUTOINCREMENT,
  id               TEXT NOT NULL UNIQUE CHECK (length(id) = 36),
  at               TEXT NOT NULL CHECK (length(at) = 30),
  verdict          TEXT NOT NULL CHECK (verdict IN ('proved', 'inside', 'edge', 'outside', 'refused')),
  document         TEXT CHECK (json_valid(document)), -- the whole answer

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
  machine              TEXT,
  state                TEXT,

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
  how              TEXT CHECK (json_type(how) = 'object') -- how each value was got, by name
) STRICT;

CREATE TABLE welds (
  n          INTEGER PRIMARY KEY AUTOINCREMENT, -- order logged, whatever the clock said
  id         TEXT NOT NULL UNIQUE CHECK (length(id) = 36),
  mark       TEXT NOT NULL UNIQUE CHECK (mark GLOB '[A-Z]*[1-9]*'),
  at         TEXT NOT NULL CHECK (length(at) = 30),
  spool      TEXT REFERENCES spools (id),
  suggestion TEXT REFERENCES suggestions (id),
  said       TEXT,
  struck     TEXT, -- why it was withdrawn
  struck_at  TEXT CHECK (length(struck_at) = 30),

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
  machine              TEXT REFERENCES machines (name) ON UPDATE CASCADE,
  state                TEXT REFERENCES states (id),

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

  rating          INTEGER CHECK (rating BETWEEN 1 AND 5),
  measured_leg_mm REAL CHECK (measured_leg_mm BETWEEN 0.5 AND 100),
  photo           TEXT, -- path of a picture, kept outside the notebook
  note            TEXT CHECK (octet_length(note) <= 4000),
  CHECK ((struck IS NULL) = (struck_at IS NULL))
) STRICT;

CREATE INDEX welds_by_time ON welds (at, n);
CREATE INDEX welds_by_job ON welds (joint, thickness_mm);
CREATE INDEX welds_by_machine ON welds (machine, state);
CREATE INDEX welds_by_state ON welds (state);
CREATE INDEX welds_by_spool ON welds (spool);
CREATE INDEX welds_by_suggestion ON welds (suggestion);

-- The keys are those of the list of symptoms, which grows; only their shape is
-- checked here.
CREATE TABLE symptoms (
  weld  INTEGER NOT NULL REFERENCES welds (n),
  place INTEGER NOT NULL, -- order as said
  key   TEXT NOT NULL CHECK (key GLOB '[a-z]*' AND key NOT GLOB '*[^a-z-]*'),
  PRIMARY KEY (weld, place)
) STRICT, WITHOUT ROWID;

CREATE INDEX symptoms_by_key ON symptoms (key, weld);

CREATE TABLE tests (
  weld   INTEGER NOT NULL REFERENCES welds (n),
  place  INTEGER NOT NULL,
  kind   TEXT NOT NULL CHECK (kind IN ('bend', 'break', 'etch', 'peel')),
  passed INTEGER NOT NULL CHECK (passed IN (0, 1)),
  result TEXT NOT NULL,
  PRIMARY KEY (weld, place)
) STRICT, WITHOUT ROWID;

-- Corrections of welds. The old value is kept.
CREATE TABLE amendments (
  n     INTEGER PRIMARY KEY AUTOINCREMENT,
  weld  INTEGER NOT NULL REFERENCES welds (n),
  at    TEXT NOT NULL CHECK (length(at) = 30),
  field TEXT NOT NULL CHECK (field <> ''),
  old   TEXT,
  new   TEXT
) STRICT;

CREATE INDEX amendments_by_weld ON amendments (weld, n);

-- machine, spool: ids of those in use. units: us or metric. last_mark: number
-- of the last mark given out, which is never given again.
CREATE TABLE settings (
  key   TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
