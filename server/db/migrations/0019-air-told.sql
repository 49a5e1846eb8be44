-- The air that outlooks told, at a few leads, and what the bucket's board measured then: how wrong outlooks are.
CREATE TABLE air_told (
  at_ms     INTEGER NOT NULL,
  lead_h    INTEGER NOT NULL CHECK (lead_h IN (6, 12, 18, 24, 30, 36)),
  bucket_id TEXT NOT NULL REFERENCES bucket (id),
  told_cc   INTEGER NOT NULL,
  closed    INTEGER NOT NULL DEFAULT 0 CHECK (closed IN (0, 1)),
  came_cc   INTEGER,
  PRIMARY KEY (at_ms, lead_h)
) STRICT, WITHOUT ROWID;
CREATE INDEX air_told_open ON air_told (at_ms) WHERE closed = 0;
CREATE INDEX air_told_bucket ON air_told (bucket_id);
