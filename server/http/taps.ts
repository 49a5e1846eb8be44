// Taps: the records of holes and spiles.
import { z } from "zod";
import { beyondGirthWords } from "../../shared/people/tree-words.ts";
import { tapPatchSchema, tapPostSchema, tapSchema } from "../../shared/wire/records.ts";
import { requireOpenSeason } from "./closed.ts";
import type { HttpParts } from "./parts.ts";
import { HttpProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";

type Parts = Pick<HttpParts, "watch" | "taps" | "trees" | "seasons" | "settings">;

export function tapRoutes(parts: Parts): Route[] {
  const { watch, taps } = parts;
  return [
    route({
      method: "get",
      path: "/taps",
      summary: "All taps",
      answer: z.array(tapSchema),
      handle: () => taps.list(),
    }),
    route({
      method: "post",
      path: "/taps",
      summary: "Add a tap to a tree",
      body: tapPostSchema,
      answer: tapSchema,
      status: 201,
      handle: ({ body }) => {
        requireOpenSeason(parts, body.tappedMs);
        requireOnTrunk(parts, body);
        const tap = taps.insert(body);
        watch.recordsChanged();
        return tap;
      },
    }),
    route({
      method: "patch",
      path: "/taps/{id}",
      summary: "Change a tap's label, when it was drilled or pulled, or where and how",
      body: tapPatchSchema,
      answer: tapSchema,
      handle: ({ id, body }) => {
        const before = taps.get(id);
        requireOpenSeason(parts, before.tappedMs, body.tappedMs, body.pulledMs);
        const { aroundCm = before.aroundCm } = body;
        if (aroundCm !== before.aroundCm) {
          requireOnTrunk(parts, { treeId: before.treeId, aroundCm });
        }
        const tap = taps.update(id, body);
        watch.recordsChanged();
        return tap;
      },
    }),
    route({
      method: "delete",
      path: "/taps/{id}",
      summary: "Delete a tap that never ran into a bucket",
      handle: ({ id }) => {
        requireOpenSeason(parts, taps.get(id).tappedMs);
        taps.remove(id);
        watch.recordsChanged();
      },
    }),
  ];
}

/** A hole is no further around than the trunk. Throws HttpProblem 422. */
function requireOnTrunk(
  { trees, settings }: Pick<Parts, "trees" | "settings">,
  { treeId, aroundCm }: { treeId: string; aroundCm: number | null },
): void {
  const girthCm = trees.find(treeId)?.girthCm ?? null;
  const words = beyondGirthWords({ aroundCm, girthCm }, settings.yard().units);
  if (words === undefined) return;
  const expected = `at most the girth, ${girthCm}`;
  throw new HttpProblem(422, words, [{ field: "aroundCm", expected, got: String(aroundCm) }]);
}
