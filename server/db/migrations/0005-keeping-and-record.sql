-- The sun that reaches a bucket, washings, and what was forecast beside what came of it.

ALTER TABLE hanging ADD COLUMN sun_share REAL NOT NULL DEFAULT 1 CHECK (sun_share BETWEEN 0 AND 1);

CREATE TABLE washing (
  bucket_id TEXT NOT NULL REFERENCES bucket (id),
  at_ms     INTEGER NOT NULL,
  PRIMARY KEY (bucket_id, at_ms)
) STRICT, WITHOUT ROWID;

-- One forecast of a bucket in an hour: chances in millionths that sap runs over within 6, 12 and 24 h, and what
-- was to come in 12 h. The rest is null until the 24 h are over, and stays so where too little was weighed.
CREATE TABLE forecast_said (
  bucket_id  TEXT NOT NULL REFERENCES bucket (id),
  at_ms      INTEGER NOT NULL,
  over_6h    INTEGER NOT NULL CHECK (over_6h BETWEEN 0 AND 1000000),
  over_12h   INTEGER NOT NULL CHECK (over_12h BETWEEN 0 AND 1000000),
  over_24h   INTEGER NOT NULL CHECK (over_24h BETWEEN 0 AND 1000000),
  low_12h_dg INTEGER NOT NULL,
  mid_12h_dg INTEGER NOT NULL,
  high_12h_dg INTEGER NOT NULL,
  room_dg    INTEGER NOT NULL,
  closed     INTEGER NOT NULL DEFAULT 0 CHECK (closed IN (0, 1)),
  came_12h_dg INTEGER,
  over_ms    INTEGER,
  weighed    INTEGER CHECK (weighed IN (0, 1)),
  PRIMARY KEY (bucket_id, at_ms)
) STRICT, WITHOUT ROWID;
CREATE INDEX forecast_said_open ON forecast_said (bucket_id, at_ms) WHERE closed = 0;

-- What a checkpoint holds has changed: the tracks are made again from the readings.
DELETE FROM checkpoint;
