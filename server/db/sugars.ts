// Sugar of each tree's sap as people measured it, by tree and time.
import { AppError } from "../../shared/errors.ts";
import type { TreeSugar } from "../../shared/wire/rounds.ts";
import type { Sqlite } from "./sqlite.ts";

export type SugarStore = ReturnType<typeof createSugarStore>;

const columns = `id, tree_id AS treeId, at_ms AS atMs, instrument, reading_brix AS readingBrix,
  temp_c AS tempC, marked_at_c AS markedAtC, brix`;

export function createSugarStore(sqlite: Sqlite) {
  const listAll = sqlite.prepare(`SELECT ${columns} FROM tree_sugar ORDER BY at_ms, id`);
  const findOne = sqlite.prepare(`SELECT ${columns} FROM tree_sugar WHERE id = ?`);
  const insertOne = sqlite.prepare(`INSERT INTO tree_sugar
    (tree_id, at_ms, instrument, reading_brix, temp_c, marked_at_c, brix)
    VALUES (@treeId, @atMs, @instrument, @readingBrix, @tempC, @markedAtC, @brix)`);
  const deleteOne = sqlite.prepare("DELETE FROM tree_sugar WHERE id = ?");
  return {
    /** All in order of time. */
    list: () => listAll.all() as TreeSugar[],
    /** The tree must be there. */
    insert(sugar: Omit<TreeSugar, "id">): TreeSugar {
      const { lastInsertRowid } = insertOne.run(sugar);
      return findOne.get(lastInsertRowid) as TreeSugar;
    },
    /** Throws AppError "not-found". */
    get(id: number): TreeSugar {
      const sugar = findOne.get(id) as TreeSugar | undefined;
      if (sugar !== undefined) return sugar;
      throw new AppError("not-found", `sugar requires a measurement that exists, got ${id}`);
    },
    remove(id: number): void {
      deleteOne.run(id);
    },
  };
}
