-- Inflow that forecasts told, until and after it is known what came: what their calibration is learnt from.
CREATE TABLE inflow_told (
  bucket_id   TEXT NOT NULL REFERENCES bucket (id),
  at_ms       INTEGER NOT NULL,
  lead_h      INTEGER NOT NULL CHECK (lead_h IN (12, 24)),
  has_outlook INTEGER NOT NULL CHECK (has_outlook IN (0, 1)),
  told_g      TEXT NOT NULL CHECK (json_valid(told_g)),
  capacity_g  INTEGER NOT NULL,
  closed      INTEGER NOT NULL DEFAULT 0 CHECK (closed IN (0, 1)),
  came_g      INTEGER,
  PRIMARY KEY (bucket_id, at_ms, lead_h)
) STRICT, WITHOUT ROWID;
CREATE INDEX inflow_told_open ON inflow_told (at_ms) WHERE closed = 0;
