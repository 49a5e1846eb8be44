// Vessels: their records, what is poured in and out of them, what is noted of them.
import { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import {
  gatheringVesselSchema,
  pourPatchSchema,
  pourPostSchema,
  pourSchema,
  vesselLineSchema,
  vesselNotePostSchema,
  vesselPatchSchema,
  vesselPostSchema,
  vesselSchema,
} from "../../shared/wire/vessels.ts";
import { requireVolume } from "../db/pours.ts";
import { requireOpenSeason } from "./closed.ts";
import { requireHeld, requireRoom } from "./held.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";
import { numberFrom } from "./span.ts";

type Parts = Pick<HttpParts, "watch" | "vessels" | "pours" | "gatherings" | "clock" | "seasons">;

export function vesselRoutes(parts: Parts): Route[] {
  return [...recordRoutes(parts), ...pourRoutes(parts), ...noteRoutes(parts)];
}

/** Nothing is poured in the future. Throws AppError "conflict". */
function pastMs(atMs: number | undefined, nowMs: number): number {
  if (atMs !== undefined && atMs > nowMs) {
    throw new AppError("conflict", `atMs requires a time up to now ${nowMs}, got ${atMs}`);
  }
  return atMs ?? Math.round(nowMs);
}

function recordRoutes(parts: Parts): Route[] {
  const { watch, vessels, clock } = parts;
  return [
    route({
      method: "get",
      path: "/vessels",
      summary: "All vessels as they are set up; what is in them is told by GET /yard",
      answer: z.array(vesselSchema),
      handle: () => vessels.list(),
    }),
    route({
      method: "post",
      path: "/vessels",
      summary: "Add a vessel; the first one is the one that gatherings go into",
      body: vesselPostSchema,
      answer: vesselSchema,
      status: 201,
      handle: ({ body }) => {
        const fromMs = pastMs(body.fromMs, clock.nowMs());
        requireOpenSeason(parts, body.fromMs);
        const vessel = vessels.insert({ ...body, fromMs }, fromMs);
        watch.vesselsChanged();
        return vessel;
      },
    }),
    route({
      method: "patch",
      path: "/vessels/{id}",
      summary: "Change a vessel, put it away, or let gatherings go into it from now on",
      body: vesselPatchSchema,
      answer: vesselSchema,
      handle: ({ id, body }) => {
        requireOpenSeason(parts, body.fromMs);
        const vessel = vessels.update(id, body, pastMs(body.fromMs, clock.nowMs()));
        watch.vesselsChanged();
        return vessel;
      },
    }),
    route({
      method: "delete",
      path: "/vessels/{id}",
      summary: "Delete a vessel that nothing was poured into or out of by hand",
      handle: ({ id }) => {
        vessels.remove(id);
        watch.vesselsChanged();
      },
    }),
  ];
}

function pourRoutes(parts: Parts): Route[] {
  const { watch, vessels, pours, clock } = parts;
  return [
    route({
      method: "get",
      path: "/vessels/{id}/pours",
      summary: "All that went into and out of a vessel, gatherings among it, newest first",
      answer: z.array(vesselLineSchema),
      handle: ({ id }) => {
        vessels.get(id);
        return watch.vesselLines(id);
      },
    }),
    route({
      method: "post",
      path: "/vessels/{id}/pours",
      summary: "Pour into a vessel from elsewhere, over into another, to the boil, or away",
      body: pourPostSchema,
      answer: pourSchema,
      status: 201,
      handle: ({ id, body }) => {
        vessels.get(id);
        requireInto(id, body, (intoId) => vessels.get(intoId));
        requireVolume(body);
        const atMs = pastMs(body.atMs, clock.nowMs());
        requireOpenSeason(parts, atMs);
        const isIn = body.kind === "in";
        if (!isIn) requireHeld(parts, { ...body, vesselId: id });
        const intoVesselId = isIn ? id : body.intoVesselId;
        if (intoVesselId !== null) {
          requireRoom(parts, { ...body, fromVesselId: isIn ? null : id, intoVesselId });
        }
        const pour = pours.insert({ ...body, vesselId: id, atMs });
        watch.vesselsChanged();
        return pour;
      },
    }),
    route({
      method: "patch",
      path: "/pours/{id}",
      summary: "Correct or strike a pour",
      body: pourPatchSchema,
      answer: pourSchema,
      handle: ({ id, body }) => {
        pastMs(body.atMs, clock.nowMs());
        const { id: pourId, atMs } = pours.get(numberFrom(id, "pour"));
        requireOpenSeason(parts, atMs, body.atMs);
        const pour = pours.update(pourId, body);
        watch.vesselsChanged();
        return pour;
      },
    }),
  ];
}

/** Only what is poured over has a vessel that it goes into, and another one. Throws AppError. */
function requireInto(
  id: string,
  { kind, intoVesselId }: z.output<typeof pourPostSchema>,
  find: (intoId: string) => unknown,
): void {
  const isOver = kind === "over";
  if (intoVesselId !== null) find(intoVesselId);
  if (isOver === (intoVesselId !== null) && intoVesselId !== id) return;
  const wanted = isOver ? "another vessel" : `none for kind ${kind}`;
  throw new AppError("conflict", `intoVesselId requires ${wanted}, got ${intoVesselId}`);
}

function noteRoutes(parts: Parts): Route[] {
  const { watch, vessels, gatherings, clock } = parts;
  return [
    route({
      method: "post",
      path: "/vessels/{id}/notes",
      summary: "Note that a vessel was washed, or how warm its sap is",
      body: vesselNotePostSchema,
      handle: ({ id, body }) => {
        vessels.get(id);
        if ((body.kind === "temperature") !== (body.tempC !== null)) {
          const wanted = body.kind === "temperature" ? "a temperature" : "null for kind washed";
          throw new AppError("conflict", `tempC requires ${wanted}, got ${body.tempC}`);
        }
        const atMs = pastMs(body.atMs, clock.nowMs());
        requireOpenSeason(parts, atMs);
        vessels.insertNote({ ...body, vesselId: id, atMs });
        watch.vesselsChanged();
      },
    }),
    route({
      method: "post",
      path: "/gatherings/{id}/vessel",
      summary: "Say which vessel a gathering went into; null for none",
      body: gatheringVesselSchema,
      handle: ({ id, body }) => {
        const { bucketId, atMs } = gatherings.get(numberFrom(id, "gathering"));
        if (body.vesselId !== null) vessels.get(body.vesselId);
        requireOpenSeason(parts, atMs);
        vessels.putGatheringVessel({ bucketId, atMs, vesselId: body.vesselId });
        watch.vesselsChanged();
      },
    }),
  ];
}
