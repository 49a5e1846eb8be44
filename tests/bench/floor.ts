// The floor that ingest is held against: the same rows put into the same table by nothing but the driver.
import { createBoards } from "../../server/db/boards.ts";
import { openStore } from "../../server/db/open.ts";
import { makeFolder } from "./child.ts";
import { type Load, massG, placeOf, readingsPerPack, startMs, stepMs } from "./packs.ts";

const rowsPerBatch = 1000;
const packsPerBatch = rowsPerBatch / readingsPerPack;

/** Rows a second: WAL, synchronous FULL, 1,000 rows a transaction, in the order the packs bring them. */
export function bareRowsPerS({ packs, boards: boardCount }: Load): number {
  const folder = makeFolder();
  const sqlite = openStore(folder.path);
  const keys = cellKeys(createBoards(sqlite), boardCount);
  const insert = sqlite.prepare(
    "INSERT INTO reading (cell_key, at_ms, mass_dg, spread_dg, counts) VALUES (?, ?, ?, NULL, NULL)",
  );
  const insertBatch = sqlite.transaction((first: number) => {
    for (let pack = first; pack < Math.min(first + packsPerBatch, packs); pack += 1) {
      const { board, batch } = placeOf(pack, boardCount);
      keys[board]?.forEach((key, index) => {
        insert.run(key, startMs + batch * stepMs, massG(index + 1, batch) * 10);
      });
    }
  });
  const beganMs = performance.now();
  for (let first = 0; first < packs; first += packsPerBatch) insertBatch(first);
  const seconds = (performance.now() - beganMs) / 1000;
  const rows = sqlite.prepare("SELECT count(*) FROM reading").pluck().get();
  sqlite.close();
  folder.remove();
  if (rows !== packs * readingsPerPack) throw new Error(`floor requires all rows, got ${rows}`);
  return (packs * readingsPerPack) / seconds;
}

function cellKeys(boards: ReturnType<typeof createBoards>, count: number): number[][] {
  return Array.from({ length: count }, (_, board) => {
    boards.heard(`bench-${board}`, startMs);
    return Array.from({ length: readingsPerPack }, (__, index) =>
      boards.cellKey({ board: `bench-${board}`, name: `cell-${index + 1}`, atMs: startMs }),
    );
  });
}
