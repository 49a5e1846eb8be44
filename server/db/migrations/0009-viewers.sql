-- Links that let somebody look and change nothing; only the hash of what is secret in each.
CREATE TABLE viewing_link (
  id         TEXT NOT NULL PRIMARY KEY,
  label      TEXT NOT NULL,
  hash       TEXT NOT NULL UNIQUE,
  created_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- A session without a link is an owner's. With its link it is gone at once.
ALTER TABLE session ADD COLUMN link_id TEXT REFERENCES viewing_link (id) ON DELETE CASCADE;
