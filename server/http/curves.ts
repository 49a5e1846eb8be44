// Curves: of one bucket, of all trees, after the thaw, and what is forecast.
import {
  type Curve,
  curveQuerySchema,
  curveSchema,
  spanQuerySchema,
} from "../../shared/wire/api.ts";
import { afterThawSchema, aheadSchema, treeCurvesSchema } from "../../shared/wire/curves.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";
import { spanFrom } from "./span.ts";

type Parts = Pick<HttpParts, "watch" | "buckets" | "clock">;
type Query = { fromMs: number; toMs: number; stepMs?: number | undefined };

export function curveRoutes({ watch, buckets, clock }: Parts): Route[] {
  return [
    route({
      method: "get",
      path: "/buckets/{id}/curve",
      summary: "A bucket's mass, volume and flow over a span, at most 1,500 steps",
      query: curveQuerySchema,
      answer: curveSchema,
      handle: ({ id, query }): Curve => watch.curve(buckets.get(id).id, steppedSpan(query)),
    }),
    route({
      method: "get",
      path: "/buckets/{id}/ahead",
      summary: "What may stand in a bucket over the next 36 hours: 10, 50 and 90 of 100",
      answer: aheadSchema,
      handle: ({ id }) => watch.ahead(buckets.get(id).id),
    }),
    route({
      method: "get",
      path: "/trees/curves",
      summary: "Every tree's flow on one time axis, at most 1,500 steps of ten minutes or more",
      query: curveQuerySchema,
      answer: treeCurvesSchema,
      handle: ({ query }) => watch.treeCurves(steppedSpan(query)),
    }),
    route({
      method: "get",
      path: "/trees/after-thaw",
      summary: "Every tree's mean flow from two hours before a thaw to fourteen after it",
      query: spanQuerySchema,
      answer: afterThawSchema,
      handle: ({ query }) => {
        const nowMs = clock.nowMs();
        return watch.afterThaw(spanFrom(query, { fromMs: nowMs - tenDaysMs, toMs: nowMs }));
      },
    }),
  ];
}

const tenDaysMs = 10 * 86_400_000;

function steppedSpan(query: Query) {
  const { stepMs } = query;
  const span = spanFrom(query, query);
  return stepMs === undefined ? span : { ...span, stepMs };
}
