// Trees: their records, and how they compare.
import { z } from "zod";
import { compareSchema, spanQuerySchema } from "../../shared/wire/api.ts";
import { treePatchSchema, treePostSchema, treeSchema } from "../../shared/wire/records.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";
import { spanFrom } from "./span.ts";

type Parts = Pick<HttpParts, "watch" | "trees" | "clock">;

export function treeRoutes(parts: Parts): Route[] {
  return [compareRoute(parts), ...recordRoutes(parts)];
}

function compareRoute({ watch, clock }: Parts): Route {
  return route({
    method: "get",
    path: "/trees/compare",
    summary: "What each tree gave over a span; without one, over the season so far",
    query: spanQuerySchema,
    answer: compareSchema,
    handle: ({ query }) => {
      const nowMs = clock.nowMs();
      const seasonMs = watch.yardView().season.firstReadingMs ?? nowMs;
      return watch.compare(spanFrom(query, { fromMs: Math.min(seasonMs, nowMs), toMs: nowMs }));
    },
  });
}

function recordRoutes({ watch, trees }: Parts): Route[] {
  return [
    route({
      method: "get",
      path: "/trees",
      summary: "All trees",
      answer: z.array(treeSchema),
      handle: () => trees.list(),
    }),
    route({
      method: "post",
      path: "/trees",
      summary: "Add a tree",
      body: treePostSchema,
      answer: treeSchema,
      status: 201,
      handle: ({ body }) => {
        const tree = trees.insert(body);
        watch.recordsChanged();
        return tree;
      },
    }),
    route({
      method: "patch",
      path: "/trees/{id}",
      summary: "Change a tree's label, species, girth, health or note",
      body: treePatchSchema,
      answer: treeSchema,
      handle: ({ id, body }) => {
        const tree = trees.update(id, body);
        watch.recordsChanged();
        return tree;
      },
    }),
    route({
      method: "delete",
      path: "/trees/{id}",
      summary: "Delete a tree that was never tapped",
      handle: ({ id }) => {
        trees.remove(id);
        watch.recordsChanged();
      },
    }),
  ];
}
