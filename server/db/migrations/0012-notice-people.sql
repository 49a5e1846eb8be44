-- People who get notices, what each was told, what is on its way to them and how each way does.
-- An id is never given again: what was told to one person must not count as told to the next.
CREATE TABLE notice_person (
  id         INTEGER PRIMARY KEY AUTOINCREMENT,
  wishes     TEXT NOT NULL CHECK (json_valid(wishes)),
  -- The local day of the last evening digest, as 2026-03-14.
  digest_day TEXT
) STRICT;

-- Browsers that get a person's notices with the page closed. One that takes no more has gone_ms
-- and stays until somebody takes it away, so that it is seen.
CREATE TABLE notice_push (
  id           INTEGER PRIMARY KEY AUTOINCREMENT,
  person_id    INTEGER NOT NULL REFERENCES notice_person (id) ON DELETE CASCADE,
  label        TEXT NOT NULL,
  subscription TEXT NOT NULL CHECK (json_valid(subscription)),
  gone_ms      INTEGER
) STRICT;

-- What a person was told last of an alarm, so that nothing is told twice.
CREATE TABLE notice_told (
  person_id INTEGER NOT NULL REFERENCES notice_person (id) ON DELETE CASCADE,
  alarm_id  INTEGER NOT NULL REFERENCES alarm (id) ON DELETE CASCADE,
  last      TEXT NOT NULL CHECK (json_valid(last)),
  PRIMARY KEY (person_id, alarm_id)
) STRICT, WITHOUT ROWID;

-- Notices on their way, one row a way.
CREATE TABLE notice_out (
  id        INTEGER PRIMARY KEY,
  person_id INTEGER NOT NULL REFERENCES notice_person (id) ON DELETE CASCADE,
  channel   TEXT NOT NULL,
  notice    TEXT NOT NULL CHECK (json_valid(notice)),
  attempts  INTEGER NOT NULL DEFAULT 0 CHECK (attempts >= 0),
  next_ms   INTEGER NOT NULL
) STRICT;

-- What the other side of each way said last: fine, trying again, or dead once a notice was given up.
CREATE TABLE notice_channel (
  person_id INTEGER NOT NULL REFERENCES notice_person (id) ON DELETE CASCADE,
  channel   TEXT NOT NULL,
  state     TEXT NOT NULL CHECK (state IN ('fine', 'trying', 'dead')),
  answer    TEXT NOT NULL,
  at_ms     INTEGER NOT NULL,
  PRIMARY KEY (person_id, channel)
) STRICT, WITHOUT ROWID;
