// Corrected calibrations applied to the past: previewed, made, and undone.
import { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import {
  type CorrectionPost,
  correctionPostSchema,
  correctionPreviewSchema,
  correctionSchema,
} from "../../shared/wire/corrections.ts";
import type { Correction, Countable } from "../db/corrections.ts";
import type { ScaleSpan } from "../domain/correction.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";
import { numberFrom } from "./span.ts";

type Parts = Pick<HttpParts, "boards" | "corrections" | "watch" | "clock">;

const subject = "correction";
/** What the store holds of a weight. */
const mostG = 1_000_000;

export function correctionRoutes(parts: Parts): Route[] {
  return [listRoute(parts), previewRoute(parts), postRoute(parts), deleteRoute(parts)];
}

function listRoute({ corrections }: Parts): Route {
  return route({
    method: "get",
    path: "/corrections",
    summary: "Corrected calibrations that hold for past weights, the newest first",
    answer: z.array(correctionSchema),
    handle: () => corrections.list().map(viewFrom),
  });
}

function previewRoute(parts: Parts): Route {
  return route({
    method: "post",
    path: "/corrections/preview",
    mayUse: "viewer",
    summary: "What a corrected calibration would change, day by day; nothing is changed",
    body: correctionPostSchema,
    answer: correctionPreviewSchema,
    handle: ({ body }) => parts.watch.previewCorrection(wishFrom(parts, body)),
  });
}

function postRoute(parts: Parts): Route {
  return route({
    method: "post",
    path: "/corrections",
    summary: "Weigh the past of a cell anew from its raw counts; readings that come late too",
    body: correctionPostSchema,
    answer: correctionSchema,
    status: 201,
    handle: ({ body }) => {
      const { correction } = wishFrom(parts, body);
      const made = parts.corrections.insert({ ...correction, madeMs: parts.clock.nowMs() });
      parts.watch.cellCorrected(made);
      return viewFrom(made);
    },
  });
}

function deleteRoute({ corrections, watch }: Parts): Route {
  return route({
    method: "delete",
    path: "/corrections/{id}",
    summary: "Undo a correction: the weights are again what they were without it",
    handle: ({ id }) => watch.cellCorrected(corrections.remove(numberFrom(id, subject))),
  });
}

function viewFrom({ cellKey: _key, ...correction }: Correction) {
  return correction;
}

/** Throws AppError "not-found" for a cell never heard, "conflict" for what can't be or has no effect. */
function wishFrom({ boards, corrections, clock }: Parts, post: CorrectionPost) {
  const nowMs = clock.nowMs();
  const { cell, untilMs = nowMs, ...scale } = post;
  const [board = "", name = ""] = cell.split("/");
  const cellKey = boards.findCell(board, name)?.key;
  if (cellKey === undefined) {
    throw new AppError("not-found", `cell requires one that was heard, got ${cell}`);
  }
  if (untilMs > nowMs) {
    // What is weighed from now on is right once the board itself has the calibration.
    const text = `untilMs requires a time up to now ${nowMs}, got ${untilMs}`;
    throw new AppError("conflict", text);
  }
  const correction = { ...scale, untilMs, cellKey };
  const counted = corrections.countIn(correction);
  requireSense(correction, counted);
  return { correction, counted };
}

function requireSense({ zeroCounts, countsPerG }: ScaleSpan, counted: Countable): void {
  const { readings, withoutCounts, leastCounts, mostCounts } = counted;
  if (readings === withoutCounts) {
    const text = `the span requires readings with raw counts, got ${readings} readings and none with`;
    throw new AppError("conflict", text);
  }
  for (const counts of [leastCounts ?? 0, mostCounts ?? 0]) {
    const massG = (counts - zeroCounts) / countsPerG;
    if (Math.abs(massG) <= mostG) continue;
    const text = `the corrected weights require up to ${mostG / 1000} kg, got ${Math.round(massG / 1000)} kg`;
    throw new AppError("conflict", text);
  }
}
