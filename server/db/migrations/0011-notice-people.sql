-- People who get notices, what each was told, what is on its way to them and how each channel does.
CREATE TABLE notice_person (
  id     INTEGER PRIMARY KEY,
  wishes TEXT NOT NULL CHECK (json_valid(wishes))
) STRICT;

-- What a person was told last of an alarm, so that nothing is told twice.
CREATE TABLE notice_told (
  person_id INTEGER NOT NULL REFERENCES notice_person (id) ON DELETE CASCADE,
  alarm_id  INTEGER NOT NULL REFERENCES alarm (id) ON DELETE CASCADE,
  last      TEXT NOT NULL CHECK (json_valid(last)),
  PRIMARY KEY (person_id, alarm_id)
) STRICT, WITHOUT ROWID;

-- Notices on their way, one row a channel.
CREATE TABLE notice_out (
  id        INTEGER PRIMARY KEY,
  person_id INTEGER NOT NULL REFERENCES notice_person (id) ON DELETE CASCADE,
  channel   TEXT NOT NULL,
  notice    TEXT NOT NULL CHECK (json_valid(notice)),
  attempts  INTEGER NOT NULL DEFAULT 0 CHECK (attempts >= 0),
  next_ms   INTEGER NOT NULL
) STRICT;

-- What the other side of each channel said last; ok is 0 once a notice was given up.
CREATE TABLE notice_channel (
  person_id INTEGER NOT NULL REFERENCES notice_person (id) ON DELETE CASCADE,
  channel   TEXT NOT NULL,
  ok        INTEGER NOT NULL CHECK (ok IN (0, 1)),
  answer    TEXT NOT NULL,
  at_ms     INTEGER NOT NULL,
  PRIMARY KEY (person_id, channel)
) STRICT, WITHOUT ROWID;
