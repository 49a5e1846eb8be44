-- Rounds that were walked: as planned when somebody set out. What was gathered on the way is in gathering.
-- ended_ms is null where nobody said that they were back.
CREATE TABLE walked_round (
  started_ms       INTEGER NOT NULL PRIMARY KEY,
  ended_ms         INTEGER CHECK (ended_ms >= started_ms),
  trips            INTEGER NOT NULL CHECK (trips >= 0),
  buckets          INTEGER NOT NULL CHECK (buckets >= 0),
  planned_ml       INTEGER NOT NULL CHECK (planned_ml >= 0),
  planned_minutes  REAL NOT NULL CHECK (planned_minutes >= 0)
) STRICT;
