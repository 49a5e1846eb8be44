-- Vessels: where gathered sap waits. What is in them is made anew from gatherings and pours.

CREATE TABLE vessel (
  id     TEXT NOT NULL PRIMARY KEY,
  label  TEXT NOT NULL,
  parked INTEGER NOT NULL DEFAULT 0 CHECK (parked IN (0, 1))
) STRICT, WITHOUT ROWID;

-- How a vessel stands from an instant on, until the next row. The probe is named as board/probe.
CREATE TABLE vessel_standing (
  vessel_id  TEXT NOT NULL REFERENCES vessel (id) ON DELETE CASCADE,
  from_ms    INTEGER NOT NULL,
  capacity_l REAL NOT NULL CHECK (capacity_l > 0),
  place      TEXT NOT NULL CHECK (place IN ('shade', 'sun', 'cooler')),
  probe      TEXT,
  PRIMARY KEY (vessel_id, from_ms)
) STRICT, WITHOUT ROWID;

-- From that instant on gatherings go into this vessel; null: into none.
CREATE TABLE vessel_filling (
  from_ms   INTEGER NOT NULL PRIMARY KEY,
  vessel_id TEXT REFERENCES vessel (id) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE TABLE vessel_note (
  vessel_id TEXT NOT NULL REFERENCES vessel (id) ON DELETE CASCADE,
  at_ms     INTEGER NOT NULL,
  kind      TEXT NOT NULL CHECK (kind IN ('washed', 'temperature')),
  temp_cc   INTEGER CHECK ((kind = 'temperature') = (temp_cc IS NOT NULL)),
  PRIMARY KEY (vessel_id, at_ms, kind)
) STRICT, WITHOUT ROWID;

-- in: from elsewhere; over: into another vessel; boil: taken to the boil; away: thrown away.
-- A volume that is null is all there was.
CREATE TABLE pour (
  id        INTEGER PRIMARY KEY,
  vessel_id TEXT NOT NULL REFERENCES vessel (id),
  kind      TEXT NOT NULL CHECK (kind IN ('in', 'over', 'boil', 'away')),
  into_id   TEXT REFERENCES vessel (id) CHECK ((kind = 'over') = (into_id IS NOT NULL)),
  at_ms     INTEGER NOT NULL,
  volume_ml INTEGER CHECK (volume_ml > 0 OR (volume_ml IS NULL AND kind != 'in')),
  struck    INTEGER NOT NULL DEFAULT 0 CHECK (struck IN (0, 1)),
  note      TEXT,
  CHECK (into_id IS NOT vessel_id)
) STRICT;
CREATE INDEX pour_time ON pour (at_ms);

-- Where a person says a gathering went. Found by bucket and time: a gathering that a cell saw may
-- be seen again a little earlier or later.
CREATE TABLE gathering_vessel (
  bucket_id TEXT NOT NULL REFERENCES bucket (id) ON DELETE CASCADE,
  at_ms     INTEGER NOT NULL,
  vessel_id TEXT REFERENCES vessel (id) ON DELETE CASCADE,
  PRIMARY KEY (bucket_id, at_ms)
) STRICT, WITHOUT ROWID;

-- The sap as it was when it was gathered (heat, count), as JSON; made again from the readings.
CREATE TABLE gathered_sap (
  bucket_id TEXT NOT NULL REFERENCES bucket (id) ON DELETE CASCADE,
  at_ms     INTEGER NOT NULL,
  sap       TEXT NOT NULL,
  PRIMARY KEY (bucket_id, at_ms)
) STRICT, WITHOUT ROWID;

-- Sugar of a tree's sap as a person measured it: what the instrument showed, and Brix made of it.
CREATE TABLE tree_sugar (
  id           INTEGER PRIMARY KEY,
  tree_id      TEXT NOT NULL REFERENCES tree (id) ON DELETE CASCADE,
  at_ms        INTEGER NOT NULL,
  instrument   TEXT NOT NULL CHECK (instrument IN ('hydrometer', 'refractometer')),
  reading_brix REAL NOT NULL,
  temp_c       REAL,
  marked_at_c  REAL,
  brix         REAL NOT NULL CHECK (brix BETWEEN 0 AND 75)
) STRICT;
CREATE INDEX tree_sugar_time ON tree_sugar (tree_id, at_ms);

-- Ice taken out of a bucket and thrown away.
CREATE TABLE ice_thrown (
  id        INTEGER PRIMARY KEY,
  bucket_id TEXT NOT NULL REFERENCES bucket (id) ON DELETE CASCADE,
  at_ms     INTEGER NOT NULL,
  mass_g    INTEGER NOT NULL CHECK (mass_g > 0)
) STRICT;
CREATE INDEX ice_thrown_time ON ice_thrown (at_ms);

-- The sketch of the yard. A place is 'home', where the sap is taken, or 'tree/' with the tree's id.
CREATE TABLE sketch_place (
  place TEXT NOT NULL PRIMARY KEY,
  x_m   REAL NOT NULL,
  y_m   REAL NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE paced_leg (
  from_place TEXT NOT NULL,
  to_place   TEXT NOT NULL CHECK (from_place < to_place),
  distance_m REAL NOT NULL CHECK (distance_m >= 0),
  PRIMARY KEY (from_place, to_place)
) STRICT, WITHOUT ROWID;
