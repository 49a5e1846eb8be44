-- What of a bucket's inflow was rain or snow: made of the slots of all buckets, and made again when those change.
-- at_ms is the end of the half hour.
CREATE TABLE wet (
  at_ms     INTEGER NOT NULL,
  bucket_id TEXT NOT NULL REFERENCES bucket (id) ON DELETE CASCADE,
  kind      TEXT NOT NULL CHECK (kind IN ('rain', 'snow')),
  mass_dg   INTEGER NOT NULL CHECK (mass_dg >= 0),
  PRIMARY KEY (at_ms, bucket_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX wet_bucket ON wet (bucket_id, at_ms);

-- Half hours whose slots changed since rain was last looked for.
CREATE TABLE wet_due (at_ms INTEGER NOT NULL PRIMARY KEY) STRICT;

-- inflow_dg is sap alone from here on.
ALTER TABLE day ADD COLUMN rain_dg INTEGER NOT NULL DEFAULT 0 CHECK (rain_dg >= 0);
