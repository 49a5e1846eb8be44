// Taps: the holes with their spiles, each in one tree.
import type { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import { dateText } from "../../shared/wire/record-checks.ts";
import type { Tap, tapPatchSchema, tapPostSchema } from "../../shared/wire/records.ts";
import { changedBy } from "./changed-by.ts";
import { uniqueIdFrom } from "./slug.ts";
import type { Sqlite } from "./sqlite.ts";

export type TapStore = ReturnType<typeof createTapStore>;

const columns = `id, tree_id AS treeId, label, tapped_ms AS tappedMs, pulled_ms AS pulledMs,
  around_cm AS aroundCm, height_cm AS heightCm, bit_mm AS bitMm, depth_mm AS depthMm,
  slope_degrees AS slopeDegrees, wood_temp_c AS woodTempC`;

/** What nobody said of a new tap. */
const unsaid: Omit<Tap, "id" | "treeId" | "label"> = {
  tappedMs: null,
  pulledMs: null,
  aroundCm: null,
  heightCm: null,
  bitMm: null,
  depthMm: null,
  slopeDegrees: null,
  woodTempC: null,
};

export function createTapStore(sqlite: Sqlite) {
  const listAll = sqlite.prepare(`SELECT ${columns} FROM tap ORDER BY tree_id, label, id`);
  const findOne = sqlite.prepare(`SELECT ${columns} FROM tap WHERE id = ?`);
  const insertOne = sqlite.prepare(`
    INSERT INTO tap (id, tree_id, label, tapped_ms, pulled_ms, around_cm, height_cm, bit_mm, depth_mm,
      slope_degrees, wood_temp_c)
    VALUES (@id, @treeId, @label, @tappedMs, @pulledMs, @aroundCm, @heightCm, @bitMm, @depthMm,
      @slopeDegrees, @woodTempC)`);
  const updateOne = sqlite.prepare(`
    UPDATE tap SET label = @label, tapped_ms = @tappedMs, pulled_ms = @pulledMs,
      around_cm = @aroundCm, height_cm = @heightCm, bit_mm = @bitMm, depth_mm = @depthMm,
      slope_degrees = @slopeDegrees, wood_temp_c = @woodTempC
    WHERE id = @id`);
  const deleteOne = sqlite.prepare("DELETE FROM tap WHERE id = ?");
  const treeLabel = sqlite.prepare("SELECT label FROM tree WHERE id = ?").pluck();
  const countOfTree = sqlite.prepare("SELECT count(*) FROM tap WHERE tree_id = ?").pluck();
  const countHangings = sqlite.prepare("SELECT count(*) FROM hanging_tap WHERE tap_id = ?").pluck();

  const find = (id: string) => findOne.get(id) as Tap | undefined;

  /** Throws AppError "not-found". */
  function get(id: string): Tap {
    const tap = find(id);
    if (!tap) throw new AppError("not-found", `tap requires one that exists, got ${id}`);
    return tap;
  }

  return {
    list: () => listAll.all() as Tap[],
    find,
    get,

    /**
     * Without a label it is called after its tree. Throws AppError "conflict": no such tree, or
     * pulled before it was tapped.
     */
    insert(post: z.input<typeof tapPostSchema>): Tap {
      const tree = treeLabel.get(post.treeId) as string | undefined;
      if (tree === undefined) {
        throw new AppError("conflict", `treeId requires a tree that exists, got ${post.treeId}`);
      }
      const said = changedBy(unsaid, post);
      requireOrder(said);
      const number = (countOfTree.get(post.treeId) as number) + 1;
      const label = post.label ?? `${tree.slice(0, 36)} ${number}`;
      const id = uniqueIdFrom(label, "tap", (taken) => find(taken) !== undefined);
      insertOne.run({ ...said, treeId: post.treeId, id, label });
      return get(id);
    },

    /** Throws AppError "not-found", and "conflict" when it would be pulled before it was tapped. */
    update(id: string, patch: z.output<typeof tapPatchSchema>): Tap {
      const next = changedBy(get(id), patch);
      requireOrder(next);
      updateOne.run(next);
      return get(id);
    },

    /** Throws AppError "not-found", and "conflict" for a tap that ever ran into a bucket. */
    remove(id: string): void {
      requireUnused(get(id), countHangings.get(id) as number);
      deleteOne.run(id);
    },
  };
}

function requireOrder({ tappedMs, pulledMs }: Pick<Tap, "tappedMs" | "pulledMs">): void {
  if (tappedMs !== null && pulledMs !== null && pulledMs < tappedMs) {
    throw new AppError(
      "conflict",
      `pulledMs requires a time after tappedMs ${dateText(tappedMs)}, got ${dateText(pulledMs)}`,
    );
  }
}

function requireUnused({ id }: Tap, hangings: number): void {
  if (hangings === 0) return;
  throw new AppError(
    "conflict",
    `deleting tap ${id} requires a tap that never ran into a bucket; set pulledMs instead`,
  );
}
