-- A board that a person put away is not shown, nor missed, until it speaks again. What it ever sent stays.
ALTER TABLE board ADD COLUMN put_away INTEGER NOT NULL DEFAULT 0 CHECK (put_away IN (0, 1));
