-- What came later than newer weights and was not gone through yet: from when on a cell, or with cell_key 0 all
-- cells of a board, have to be gone through again. Written with the readings themselves.
CREATE TABLE late (
  board    TEXT NOT NULL,
  cell_key INTEGER NOT NULL,
  from_ms  INTEGER NOT NULL,
  PRIMARY KEY (board, cell_key)
) STRICT, WITHOUT ROWID;
