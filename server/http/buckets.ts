// Buckets: how they are set up, and what their weight did over time.
import { z } from "zod";
import { bucketPatchSchema, bucketPostSchema, bucketSchema } from "../../shared/wire/records.ts";
import type { BucketChange } from "../db/buckets.ts";
import { requireOpenSeason } from "./closed.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";

type Parts = Pick<HttpParts, "watch" | "buckets" | "clock" | "seasons">;

export function bucketRoutes(parts: Parts): Route[] {
  const { watch, buckets, clock } = parts;
  function told({ bucket, againFromMs }: BucketChange) {
    if (againFromMs === undefined) watch.recordsChanged();
    else watch.recordsChanged({ bucketId: bucket.id, fromMs: againFromMs });
    return bucket;
  }
  return [
    route({
      method: "get",
      path: "/buckets",
      summary: "All buckets as they are set up now",
      answer: z.array(bucketSchema),
      handle: () => buckets.list(),
    }),
    route({
      method: "post",
      path: "/buckets",
      summary: "Set up a bucket, on a cell or not",
      body: bucketPostSchema,
      answer: bucketSchema,
      status: 201,
      handle: ({ body }) => {
        requireOpenSeason(parts, body.fromMs);
        return told(buckets.insert(body, clock.nowMs()));
      },
    }),
    route({
      method: "patch",
      path: "/buckets/{id}",
      summary: "Change a bucket from an instant on; its past stays as it was",
      body: bucketPatchSchema,
      answer: bucketSchema,
      handle: ({ id, body }) => {
        requireOpenSeason(parts, body.fromMs);
        return told(buckets.update(id, body, clock.nowMs()));
      },
    }),
    route({
      method: "delete",
      path: "/buckets/{id}",
      summary: "Delete a bucket without a past",
      handle: ({ id }) => {
        buckets.remove(id);
        watch.recordsChanged();
      },
    }),
  ];
}
