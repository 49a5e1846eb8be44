-- The boil, the bottles and the end of a season, as people log them.

CREATE TABLE boil (
  id                INTEGER PRIMARY KEY,
  started_ms        INTEGER NOT NULL CHECK (started_ms > 0),
  ended_ms          INTEGER CHECK (ended_ms IS NULL OR ended_ms >= started_ms),
  aim_brix          REAL NOT NULL CHECK (aim_brix BETWEEN 50 AND 70),
  pan_area_m2       REAL CHECK (pan_area_m2 > 0),
  fuel              TEXT NOT NULL CHECK (fuel IN ('wood', 'propane', 'electricity')),
  arch              TEXT NOT NULL CHECK (arch IN ('openFire', 'goodArch', 'gasifyingArch')),
  moisture_fraction REAL NOT NULL CHECK (moisture_fraction BETWEEN 0 AND 0.6),
  note              TEXT
) STRICT;
CREATE INDEX boil_time ON boil (started_ms);

-- What the columns mean goes by the kind. temp_c is as read; offset_c is what the thermometer read too high that day.
-- amount: kg of wood or propane, kWh. Sap out of a vessel names it, and the pour that took it out.
CREATE TABLE boil_entry (
  id          INTEGER PRIMARY KEY,
  boil_id     INTEGER NOT NULL REFERENCES boil (id) ON DELETE CASCADE,
  at_ms       INTEGER NOT NULL CHECK (at_ms > 0),
  kind        TEXT NOT NULL CHECK (kind IN ('sap', 'pan', 'pressure', 'fuel', 'drawn')),
  volume_l    REAL CHECK (volume_l >= 0),
  brix        REAL CHECK (brix BETWEEN 0 AND 75),
  temp_c      REAL,
  offset_c    REAL,
  pressure_pa REAL,
  amount      REAL CHECK (amount >= 0),
  vessel_id   TEXT,
  pour_id     INTEGER
) STRICT;
CREATE INDEX boil_entry_boil ON boil_entry (boil_id, at_ms);

-- number counts the batches of a year; bottles is JSON, a list of volumeL and count.
CREATE TABLE batch (
  id                   INTEGER PRIMARY KEY,
  year                 INTEGER NOT NULL,
  number               INTEGER NOT NULL CHECK (number > 0),
  boil_id              INTEGER REFERENCES boil (id) ON DELETE SET NULL,
  bottled_ms           INTEGER NOT NULL CHECK (bottled_ms > 0),
  brix                 REAL CHECK (brix BETWEEN 0 AND 75),
  transmission_percent REAL CHECK (transmission_percent BETWEEN 0 AND 100),
  fill_temp_c          REAL,
  volume_l             REAL NOT NULL CHECK (volume_l >= 0),
  bottles              TEXT NOT NULL,
  ingredients          TEXT NOT NULL,
  words                TEXT,
  note                 TEXT,
  UNIQUE (year, number)
) STRICT;

CREATE TABLE thermometer_check (
  at_ms       INTEGER NOT NULL PRIMARY KEY CHECK (at_ms > 0),
  reading_c   REAL NOT NULL,
  pressure_pa REAL NOT NULL
) STRICT;

-- A season is a calendar year; one without a row is open. Records of a closed one stay as they are.
CREATE TABLE season (
  year      INTEGER NOT NULL PRIMARY KEY CHECK (year BETWEEN 1970 AND 9999),
  closed_ms INTEGER,
  note      TEXT
) STRICT;

CREATE TABLE season_job (
  year    INTEGER NOT NULL CHECK (year BETWEEN 1970 AND 9999),
  job     TEXT NOT NULL,
  done_ms INTEGER NOT NULL,
  PRIMARY KEY (year, job)
) STRICT, WITHOUT ROWID;
