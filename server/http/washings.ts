// Washed buckets: what clings to the wall of one spoils the sap that follows.
import { AppError } from "../../shared/errors.ts";
import { msPerHour } from "../../shared/units.ts";
import { washedPostSchema, washedSchema } from "../../shared/wire/keeping.ts";
import { requireOpenSeason } from "./closed.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";

type Parts = Pick<HttpParts, "watch" | "buckets" | "gatherings" | "clock" | "seasons">;

const emptiedWithinMs = 12 * msPerHour;
const nearlyEmptyL = 0.4;

export function washingRoutes(parts: Parts): Route[] {
  const { buckets, watch } = parts;
  return [
    route({
      method: "post",
      path: "/buckets/{id}/washed",
      summary: "Say that a bucket was washed when it was last emptied",
      body: washedPostSchema,
      answer: washedSchema,
      status: 201,
      handle: ({ id, body }) => {
        const bucket = buckets.get(id);
        const atMs = washedAtMs(parts, bucket.id, body.atMs);
        requireOpenSeason(parts, atMs);
        buckets.washings.insert(bucket.id, atMs);
        watch.recordsChanged({ bucketId: bucket.id, fromMs: atMs });
        return { atMs };
      },
    }),
    route({
      method: "delete",
      path: "/buckets/{id}/washed",
      summary: "Take back the last washing",
      handle: ({ id }) => {
        const bucket = buckets.get(id);
        const lastMs = buckets.washings.listOfBucket(bucket.id).at(-1);
        if (lastMs === undefined) {
          throw new AppError("not-found", `washing requires one of ${bucket.id}, got none`);
        }
        requireOpenSeason(parts, lastMs);
        buckets.washings.remove(bucket.id, lastMs);
        watch.recordsChanged({ bucketId: bucket.id, fromMs: lastMs });
      },
    }),
  ];
}

/** A full bucket was not washed: it counts for the last time it was emptied, within 12 h. */
function washedAtMs(parts: Parts, bucketId: string, saidMs: number | undefined): number {
  const nowMs = parts.clock.nowMs();
  const atMs = saidMs ?? nowMs;
  if (atMs > nowMs) {
    throw new AppError("conflict", `atMs requires a time up to now ${nowMs}, got ${atMs}`);
  }
  const span = { fromMs: atMs - emptiedWithinMs, toMs: atMs + 1, bucketId };
  const emptied = parts.gatherings.list(span).findLast(({ struck }) => !struck);
  if (emptied !== undefined) return emptied.atMs;
  const bucket = parts.watch.yardView().buckets.find(({ id }) => id === bucketId);
  const volumeL = bucket?.volumeL ?? 0;
  if (volumeL < nearlyEmptyL) return atMs;
  throw new AppError(
    "conflict",
    `washing requires a bucket that is empty or was emptied within 12 hours, got one with ${volumeL.toFixed(1)} L`,
  );
}
