// Taps: the records of holes and spiles.
import { z } from "zod";
import { tapPatchSchema, tapPostSchema, tapSchema } from "../../shared/wire/records.ts";
import { requireOpenSeason } from "./closed.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";

export function tapRoutes(parts: Pick<HttpParts, "watch" | "taps" | "seasons">): Route[] {
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
        requireOpenSeason(parts, taps.get(id).tappedMs, body.tappedMs, body.pulledMs);
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
