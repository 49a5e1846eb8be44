-- What boards send. Masses in decigrams, temperatures in hundredths of a degree Celsius.

CREATE TABLE board (
  name           TEXT NOT NULL PRIMARY KEY,
  program        TEXT,
  online         INTEGER NOT NULL DEFAULT 0 CHECK (online IN (0, 1)),
  first_heard_ms INTEGER NOT NULL,
  last_heard_ms  INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE cell (
  key            INTEGER PRIMARY KEY,
  board          TEXT NOT NULL REFERENCES board (name),
  name           TEXT NOT NULL,
  first_heard_ms INTEGER NOT NULL,
  UNIQUE (board, name)
) STRICT;

CREATE TABLE probe (
  key            INTEGER PRIMARY KEY,
  board          TEXT NOT NULL REFERENCES board (name),
  name           TEXT NOT NULL,
  first_heard_ms INTEGER NOT NULL,
  UNIQUE (board, name)
) STRICT;

CREATE TABLE reading (
  cell_key  INTEGER NOT NULL REFERENCES cell (key),
  at_ms     INTEGER NOT NULL CHECK (at_ms > 0),
  mass_dg   INTEGER NOT NULL CHECK (mass_dg BETWEEN -10000000 AND 10000000),
  spread_dg INTEGER,
  counts    INTEGER,
  PRIMARY KEY (cell_key, at_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE temperature (
  probe_key INTEGER NOT NULL REFERENCES probe (key),
  at_ms     INTEGER NOT NULL CHECK (at_ms > 0),
  temp_cc   INTEGER NOT NULL CHECK (temp_cc BETWEEN -10000 AND 20000),
  PRIMARY KEY (probe_key, at_ms)
) STRICT, WITHOUT ROWID;

-- quantity: pressure in Pa, supply in mV
CREATE TABLE board_value (
  board    TEXT NOT NULL REFERENCES board (name),
  quantity TEXT NOT NULL CHECK (quantity IN ('pressure', 'supply')),
  at_ms    INTEGER NOT NULL CHECK (at_ms > 0),
  value    INTEGER NOT NULL,
  PRIMARY KEY (board, quantity, at_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE fault (
  cell_key INTEGER NOT NULL REFERENCES cell (key),
  at_ms    INTEGER NOT NULL CHECK (at_ms > 0),
  fault    TEXT NOT NULL CHECK (fault IN ('absent', 'saturated', 'stuck', 'uncalibrated')),
  PRIMARY KEY (cell_key, at_ms)
) STRICT, WITHOUT ROWID;

-- Batches kept: all up to `through`, and those that came ahead of a gap.
CREATE TABLE spool (
  board   TEXT NOT NULL REFERENCES board (name),
  spool   TEXT NOT NULL,
  through INTEGER NOT NULL DEFAULT 0 CHECK (through >= 0),
  at_ms   INTEGER NOT NULL,
  PRIMARY KEY (board, spool)
) STRICT, WITHOUT ROWID;

CREATE TABLE batch_ahead (
  board      TEXT NOT NULL,
  spool      TEXT NOT NULL,
  batch      INTEGER NOT NULL CHECK (batch > 0),
  from_batch INTEGER NOT NULL CHECK (from_batch > 0),
  PRIMARY KEY (board, spool, batch),
  FOREIGN KEY (board, spool) REFERENCES spool (board, spool)
) STRICT, WITHOUT ROWID;

CREATE TABLE rejected (
  id     INTEGER PRIMARY KEY,
  at_ms  INTEGER NOT NULL,
  source TEXT NOT NULL,
  reason TEXT NOT NULL,
  sample TEXT NOT NULL
) STRICT;

-- The yard as people set it up.

CREATE TABLE tree (
  id       TEXT NOT NULL PRIMARY KEY,
  label    TEXT NOT NULL,
  species  TEXT,
  girth_cm REAL CHECK (girth_cm > 0),
  note     TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE tap (
  id        TEXT NOT NULL PRIMARY KEY,
  tree_id   TEXT NOT NULL REFERENCES tree (id),
  label     TEXT NOT NULL,
  tapped_ms INTEGER,
  pulled_ms INTEGER
) STRICT, WITHOUT ROWID;

CREATE TABLE bucket (
  id     TEXT NOT NULL PRIMARY KEY,
  label  TEXT NOT NULL,
  role   TEXT NOT NULL CHECK (role IN ('sap', 'control')),
  parked INTEGER NOT NULL DEFAULT 0 CHECK (parked IN (0, 1))
) STRICT, WITHOUT ROWID;

-- One bucket on one cell for a span of time; a change closes the span and opens another.
-- The cell is named, not referred to: a bucket may be set up before its cell is first heard.
CREATE TABLE hanging (
  id         INTEGER PRIMARY KEY,
  bucket_id  TEXT NOT NULL REFERENCES bucket (id),
  board      TEXT,
  cell       TEXT CHECK ((cell IS NULL) = (board IS NULL)),
  from_ms    INTEGER NOT NULL,
  until_ms   INTEGER CHECK (until_ms IS NULL OR until_ms >= from_ms),
  capacity_l REAL NOT NULL CHECK (capacity_l > 0),
  empty_g    REAL NOT NULL CHECK (empty_g >= 0)
) STRICT;
CREATE INDEX hanging_bucket ON hanging (bucket_id, from_ms);
CREATE UNIQUE INDEX hanging_open ON hanging (bucket_id) WHERE until_ms IS NULL;
CREATE INDEX hanging_cell ON hanging (board, cell, from_ms);

CREATE TABLE hanging_tap (
  hanging_id INTEGER NOT NULL REFERENCES hanging (id) ON DELETE CASCADE,
  tap_id     TEXT NOT NULL REFERENCES tap (id),
  PRIMARY KEY (hanging_id, tap_id)
) STRICT, WITHOUT ROWID;

-- What the readings were understood to mean. All but gatherings can be made again from them.

CREATE TABLE event (
  bucket_id TEXT NOT NULL REFERENCES bucket (id),
  at_ms     INTEGER NOT NULL,
  until_ms  INTEGER NOT NULL,
  kind      TEXT NOT NULL,
  mass_dg   INTEGER NOT NULL,
  PRIMARY KEY (bucket_id, at_ms, kind)
) STRICT, WITHOUT ROWID;

CREATE TABLE gathering (
  id          INTEGER PRIMARY KEY,
  bucket_id   TEXT NOT NULL REFERENCES bucket (id),
  at_ms       INTEGER NOT NULL,
  volume_ml   INTEGER NOT NULL CHECK (volume_ml >= 0),
  by          TEXT NOT NULL CHECK (by IN ('cell', 'hand')),
  struck      INTEGER NOT NULL DEFAULT 0 CHECK (struck IN (0, 1)),
  detected_ml INTEGER,
  touched     INTEGER NOT NULL DEFAULT 0 CHECK (touched IN (0, 1)),
  note        TEXT
) STRICT;
CREATE INDEX gathering_time ON gathering (at_ms);
CREATE UNIQUE INDEX gathering_detected ON gathering (bucket_id, at_ms) WHERE by = 'cell';

-- at_ms is the end of the ten minutes; inflow is the sap that came in them, by the mass ledger.
CREATE TABLE ten_minute (
  bucket_id    TEXT NOT NULL REFERENCES bucket (id),
  at_ms        INTEGER NOT NULL,
  mass_dg      INTEGER NOT NULL,
  inflow_dg    INTEGER NOT NULL,
  flow_g_per_h INTEGER NOT NULL,
  low_g_per_h  INTEGER NOT NULL,
  high_g_per_h INTEGER NOT NULL,
  air_cc       INTEGER,
  flags        INTEGER NOT NULL DEFAULT 0,
  PRIMARY KEY (bucket_id, at_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE day (
  bucket_id   TEXT NOT NULL REFERENCES bucket (id),
  day         TEXT NOT NULL CHECK (day LIKE '____-__-__'),
  inflow_dg   INTEGER NOT NULL,
  peak_g_per_h INTEGER NOT NULL,
  onset_ms    INTEGER,
  covered_ms  INTEGER NOT NULL,
  lower_bound INTEGER NOT NULL CHECK (lower_bound IN (0, 1)),
  PRIMARY KEY (bucket_id, day)
) STRICT, WITHOUT ROWID;

CREATE TABLE checkpoint (
  bucket_id TEXT NOT NULL REFERENCES bucket (id),
  at_ms     INTEGER NOT NULL,
  track     TEXT NOT NULL,
  PRIMARY KEY (bucket_id, at_ms)
) STRICT, WITHOUT ROWID;

CREATE TABLE alarm (
  id         INTEGER PRIMARY KEY,
  kind       TEXT NOT NULL,
  subject    TEXT NOT NULL,
  severity   TEXT NOT NULL CHECK (severity IN ('advice', 'soon', 'now')),
  raised_ms  INTEGER NOT NULL,
  cleared_ms INTEGER,
  seen_ms    INTEGER,
  text       TEXT NOT NULL,
  brim       TEXT,
  noticed    TEXT
) STRICT;
CREATE INDEX alarm_time ON alarm (raised_ms);
CREATE UNIQUE INDEX alarm_open ON alarm (kind, subject) WHERE cleared_ms IS NULL;

CREATE TABLE forecast_hour (
  at_ms      INTEGER NOT NULL PRIMARY KEY,
  air_cc     INTEGER,
  cloud_percent INTEGER
) STRICT, WITHOUT ROWID;

-- Settings as JSON, the store's own id among them.
CREATE TABLE setting (
  name  TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- Who may speak over MQTT; only hashes of secrets.
CREATE TABLE credential (
  name       TEXT NOT NULL PRIMARY KEY,
  kind       TEXT NOT NULL CHECK (kind IN ('board', 'reader', 'forecaster')),
  salt       TEXT NOT NULL,
  hash       TEXT NOT NULL,
  created_ms INTEGER NOT NULL,
  revoked_ms INTEGER
) STRICT, WITHOUT ROWID;

CREATE TABLE session (
  hash       TEXT NOT NULL PRIMARY KEY,
  created_ms INTEGER NOT NULL,
  expires_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
