// Bottled batches: what is on their labels and how the syrup was.
import { z } from "zod";
import { fillingVerdict } from "../../shared/syrup/bottling.ts";
import { colourClass } from "../../shared/syrup/grade.ts";
import { spanQuerySchema } from "../../shared/wire/api.ts";
import {
  type Batch,
  batchPatchSchema,
  batchPostSchema,
  batchSchema,
} from "../../shared/wire/boils.ts";
import type { BatchRecord } from "../db/batches.ts";
import { requireOpenSeason, yearOf } from "./closed.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";
import { numberFrom, spanFrom } from "./span.ts";

type Parts = Pick<HttpParts, "batches" | "seasons" | "watch" | "clock">;

const idOf = (id: string) => numberFrom(id, "batch");

function viewOf(batch: BatchRecord): Batch {
  const { transmissionPercent, fillTempC } = batch;
  return {
    ...batch,
    colour: transmissionPercent === null ? null : colourClass(transmissionPercent),
    filling: fillTempC === null ? null : fillingVerdict(fillTempC),
  };
}

export function batchRoutes(parts: Parts): Route[] {
  return [...newRoutes(parts), ...changeRoutes(parts)];
}

function newRoutes(parts: Parts): Route[] {
  const { batches, clock } = parts;
  return [
    route({
      method: "get",
      path: "/batches",
      summary: "Batches bottled in a span, oldest first; without a span, all",
      query: spanQuerySchema,
      answer: z.array(batchSchema),
      handle: ({ query }) =>
        batches.list(spanFrom(query, { fromMs: 0, toMs: clock.nowMs() + 1 })).map(viewOf),
    }),
    route({
      method: "post",
      path: "/batches",
      summary: "Bottle a batch; it gets the next number of its year",
      body: batchPostSchema,
      answer: batchSchema,
      status: 201,
      handle: ({ body }) => {
        const bottledMs = body.bottledMs ?? clock.nowMs();
        requireOpenSeason(parts, bottledMs);
        return viewOf(batches.insert({ ...body, bottledMs, year: yearOf(parts, bottledMs) }));
      },
    }),
  ];
}

function changeRoutes(parts: Parts): Route[] {
  const { batches } = parts;
  return [
    route({
      method: "patch",
      path: "/batches/{id}",
      summary: "Correct a batch; its number stays",
      body: batchPatchSchema,
      answer: batchSchema,
      handle: ({ id, body }) => {
        requireOpenSeason(parts, batches.get(idOf(id)).bottledMs, body.bottledMs);
        return viewOf(batches.update(idOf(id), body));
      },
    }),
    route({
      method: "delete",
      path: "/batches/{id}",
      summary: "Delete a batch",
      handle: ({ id }) => {
        requireOpenSeason(parts, batches.get(idOf(id)).bottledMs);
        batches.remove(idOf(id));
      },
    }),
  ];
}
