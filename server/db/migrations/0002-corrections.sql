-- A corrected calibration for what a cell weighed in a span of time. The readings stay as they came:
-- where one applies, the weight is taken from their counts whenever they are read, so that deleting
-- the row brings the old weights back. Where two apply, the one made later holds.
CREATE TABLE correction (
  id           INTEGER PRIMARY KEY AUTOINCREMENT,
  cell_key     INTEGER NOT NULL REFERENCES cell (key),
  from_ms      INTEGER NOT NULL,
  until_ms     INTEGER NOT NULL CHECK (until_ms > from_ms),
  zero_counts  REAL NOT NULL,
  counts_per_g REAL NOT NULL CHECK (counts_per_g <> 0),
  made_ms      INTEGER NOT NULL
) STRICT;
