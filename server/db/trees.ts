// Trees as people describe them.
import type { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import type { Tree, treePatchSchema, treePostSchema } from "../../shared/wire/records.ts";
import { changedBy } from "./changed-by.ts";
import { uniqueIdFrom } from "./slug.ts";
import type { Sqlite } from "./sqlite.ts";

export type TreeStore = ReturnType<typeof createTreeStore>;

const columns = "id, label, species, girth_cm AS girthCm, note, health";

/** What nobody said of a new tree. */
const unsaid = { species: null, girthCm: null, note: null, health: "sound" };

export function createTreeStore(sqlite: Sqlite) {
  const listAll = sqlite.prepare(`SELECT ${columns} FROM tree ORDER BY label, id`);
  const findOne = sqlite.prepare(`SELECT ${columns} FROM tree WHERE id = ?`);
  const insertOne = sqlite.prepare(
    "INSERT INTO tree (id, label, species, girth_cm, note, health) VALUES (@id, @label, @species, @girthCm, @note, @health)",
  );
  const updateOne = sqlite.prepare(
    "UPDATE tree SET label = @label, species = @species, girth_cm = @girthCm, note = @note, health = @health WHERE id = @id",
  );
  const deleteOne = sqlite.prepare("DELETE FROM tree WHERE id = ?");
  const countTaps = sqlite.prepare("SELECT count(*) FROM tap WHERE tree_id = ?").pluck();

  const find = (id: string) => findOne.get(id) as Tree | undefined;

  /** Throws AppError "not-found". */
  function get(id: string): Tree {
    const tree = find(id);
    if (!tree) throw new AppError("not-found", `tree requires one that exists, got ${id}`);
    return tree;
  }

  return {
    list: () => listAll.all() as Tree[],
    find,
    get,

    insert(post: z.input<typeof treePostSchema>): Tree {
      const id = uniqueIdFrom(post.label, "tree", (taken) => find(taken) !== undefined);
      insertOne.run({ ...unsaid, ...post, id });
      return get(id);
    },

    /** Throws AppError "not-found". */
    update(id: string, patch: z.output<typeof treePatchSchema>): Tree {
      updateOne.run(changedBy(get(id), patch));
      return get(id);
    },

    /** Throws AppError "not-found", and "conflict" for a tree that was ever tapped. */
    remove(id: string): void {
      get(id);
      const taps = countTaps.get(id) as number;
      if (taps > 0) {
        throw new AppError(
          "conflict",
          `deleting tree ${id} requires a tree without taps, got ${taps}`,
        );
      }
      deleteOne.run(id);
    },
  };
}
