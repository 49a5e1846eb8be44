// Sugar of trees: measured by hydrometer or refractometer, kept by tree and time.
import { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import { treeSugarPostSchema, treeSugarSchema } from "../../shared/wire/rounds.ts";
import { sugarFromReading } from "../domain/rounds/tree-sugar.ts";
import { requireOpenSeason } from "./closed.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";
import { numberFrom } from "./span.ts";

type Parts = Pick<HttpParts, "watch" | "sugars" | "trees" | "clock" | "seasons">;

export function sugarRoutes(parts: Parts): Route[] {
  const { watch, sugars, trees, clock } = parts;
  return [
    route({
      method: "get",
      path: "/sugars",
      summary: "What sugar the trees' sap was measured to have, oldest first",
      answer: z.array(treeSugarSchema),
      handle: () => sugars.list(),
    }),
    route({
      method: "post",
      path: "/trees/{id}/sugars",
      summary:
        "Write down a tree's sugar as an instrument showed it; it is corrected for temperature",
      body: treeSugarPostSchema,
      answer: treeSugarSchema,
      status: 201,
      handle: ({ id, body }) => {
        trees.get(id);
        const nowMs = Math.round(clock.nowMs());
        const atMs = body.atMs ?? nowMs;
        if (atMs > nowMs) {
          throw new AppError("conflict", `atMs requires a time up to now ${nowMs}, got ${atMs}`);
        }
        requireOpenSeason(parts, atMs);
        const sugar = sugars.insert({ ...body, ...sugarFromReading(body), treeId: id, atMs });
        watch.vesselsChanged();
        return sugar;
      },
    }),
    route({
      method: "delete",
      path: "/sugars/{id}",
      summary: "Delete a measurement of sugar that was wrong",
      handle: ({ id }) => {
        const sugar = sugars.get(numberFrom(id, "sugar"));
        requireOpenSeason(parts, sugar.atMs);
        sugars.remove(sugar.id);
        watch.vesselsChanged();
      },
    }),
  ];
}
