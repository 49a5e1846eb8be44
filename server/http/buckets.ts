// Buckets: how they are set up, and what their weight did over time.
import { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import { formatTimeOfDay } from "../../shared/people/format.ts";
import { msPerMinute } from "../../shared/units.ts";
import { bucketPatchSchema, bucketPostSchema, bucketSchema } from "../../shared/wire/records.ts";
import type { BucketChange } from "../db/buckets.ts";
import { TooEarlyError } from "../db/hangings.ts";
import { requireOpenSeason } from "./closed.ts";
import { zoneNow } from "./kitchen.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";

type Parts = Pick<HttpParts, "watch" | "buckets" | "clock" | "seasons">;

export function bucketRoutes(parts: Parts): Route[] {
  const { watch, buckets, clock } = parts;
  function told({ bucket, againFromMs, swappedId }: BucketChange) {
    if (againFromMs !== undefined && swappedId !== undefined) {
      watch.recordsChanged({ bucketId: swappedId, fromMs: againFromMs });
    }
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
        return told(inReadersWords(parts, () => buckets.update(id, body, clock.nowMs())));
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

/** Throws AppError "conflict" with the time from which a change may hold, as clocks in the yard show it. */
function inReadersWords<T>(parts: Parts, change: () => T): T {
  try {
    return change();
  } catch (cause) {
    if (!(cause instanceof TooEarlyError)) throw cause;
    // People say minutes; the one that it began in counts as its start.
    const earliestMs = Math.floor(cause.earliestMs / msPerMinute) * msPerMinute;
    const time = { nowMs: parts.clock.nowMs(), timeZone: zoneNow(parts) };
    const { label } = parts.buckets.get(cause.bucketId);
    const text = `${label} has hung as it does only since ${formatTimeOfDay(earliestMs, time)}: say that time or a later one`;
    throw new AppError("conflict", text, { cause });
  }
}
