// Gatherings: seen by cells, logged by hand, corrected and struck.
import { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import { spanQuerySchema } from "../../shared/wire/api.ts";
import {
  gatheringPatchSchema,
  gatheringPostSchema,
  gatheringSchema,
} from "../../shared/wire/records.ts";
import { requireOpenSeason } from "./closed.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";
import { numberFrom, spanFrom } from "./span.ts";

type Parts = Pick<HttpParts, "watch" | "gatherings" | "buckets" | "clock" | "seasons">;

const subject = "gathering";

export function gatheringRoutes(parts: Parts): Route[] {
  return [listRoute(parts), postRoute(parts), ...changeRoutes(parts)];
}

function listRoute({ gatherings, clock }: Parts): Route {
  return route({
    method: "get",
    path: "/gatherings",
    summary: "Gatherings of a span, oldest first, struck ones among them; without a span, all",
    query: spanQuerySchema,
    answer: z.array(gatheringSchema),
    handle: ({ query }) => gatherings.list(spanFrom(query, { fromMs: 0, toMs: clock.nowMs() + 1 })),
  });
}

function postRoute(parts: Parts): Route {
  const { gatherings, buckets, watch, clock } = parts;
  return route({
    method: "post",
    path: "/gatherings",
    summary: "Log a gathering by hand, now or at a time that has passed",
    body: gatheringPostSchema,
    answer: gatheringSchema,
    status: 201,
    handle: ({ body }) => {
      const nowMs = clock.nowMs();
      const atMs = body.atMs ?? nowMs;
      if (atMs > nowMs) {
        throw new AppError("conflict", `atMs requires a time up to now ${nowMs}, got ${atMs}`);
      }
      requireOpenSeason(parts, atMs);
      buckets.get(body.bucketId);
      const gathering = gatherings.insert({ ...body, atMs });
      watch.recordsChanged();
      return gathering;
    },
  });
}

function changeRoutes(parts: Parts): Route[] {
  const { gatherings, watch } = parts;
  const openOne = (id: string) => {
    const gathering = gatherings.get(numberFrom(id, subject));
    requireOpenSeason(parts, gathering.atMs);
    return gathering.id;
  };
  return [
    route({
      method: "patch",
      path: "/gatherings/{id}",
      summary: "Correct or strike a gathering; no reading changes it afterwards",
      body: gatheringPatchSchema,
      answer: gatheringSchema,
      handle: ({ id, body }) => {
        const gathering = gatherings.update(openOne(id), body);
        watch.recordsChanged();
        return gathering;
      },
    }),
    route({
      method: "delete",
      path: "/gatherings/{id}",
      summary: "Delete a gathering that was logged by hand",
      handle: ({ id }) => {
        gatherings.remove(openOne(id));
        watch.recordsChanged();
      },
    }),
  ];
}
