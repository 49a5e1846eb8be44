// Boils: begun, ended, corrected, and how near the pan is to syrup.
import { z } from "zod";
import { spanQuerySchema } from "../../shared/wire/api.ts";
import { type Boil, boilPatchSchema, boilPostSchema, boilSchema } from "../../shared/wire/boils.ts";
import type { BoilRecord } from "../db/boils.ts";
import { accountOfBoil } from "../domain/boil/account.ts";
import { lawOf } from "../domain/boil/plan.ts";
import { strikePours } from "./boil-pours.ts";
import { requireOpenSeason } from "./closed.ts";
import type { KitchenParts } from "./kitchen.ts";
import { panNow } from "./pan-now.ts";
import { fieldProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";
import { numberFrom, spanFrom } from "./span.ts";

const subject = "boil";
export const boilIdOf = (id: string) => numberFrom(id, subject);

export function boilRoutes(parts: KitchenParts): Route[] {
  return [listRoute(parts), postRoute(parts), ...changeRoutes(parts)];
}

function listRoute(parts: KitchenParts): Route {
  return route({
    method: "get",
    path: "/boils",
    summary: "Boils of a span with their logs and what they add up to, oldest first",
    query: spanQuerySchema,
    answer: z.array(boilSchema),
    handle: ({ query }) => {
      const span = spanFrom(query, { fromMs: 0, toMs: parts.clock.nowMs() + 1 });
      return parts.boils.list(span).map((boil) => viewOf(parts, boil));
    },
  });
}

/** A boil as it is shown: with its sums, and while it goes on with how near it is. */
export function viewOf(parts: KitchenParts, boil: BoilRecord): Boil {
  return { ...boil, account: accountOfBoil(boil), watch: panNow(parts, boil) };
}

function postRoute(parts: KitchenParts): Route {
  return route({
    method: "post",
    path: "/boils",
    summary: "Begin a boil, now or at a time that has passed",
    body: boilPostSchema,
    answer: boilSchema,
    status: 201,
    handle: ({ body }) => {
      const nowMs = parts.clock.nowMs();
      const startedMs = pastOf(body.startedMs, { nowMs, field: "startedMs" });
      requireOpenSeason(parts, startedMs);
      const setup = parts.boilSettings.setup();
      const boil = parts.boils.insert({
        startedMs,
        aimBrix: body.aimBrix ?? setup.aimBrix ?? lawOf(setup.law).lowestBrix,
        panAreaM2: body.panAreaM2 === undefined ? setup.panAreaM2 : body.panAreaM2,
        fuel: body.fuel ?? setup.fuel,
        arch: body.arch ?? setup.arch,
        moistureFraction: body.moistureFraction ?? setup.moistureFraction,
        note: body.note ?? null,
      });
      return viewOf(parts, boil);
    },
  });
}

/** The time, or now; nothing is logged ahead. Throws HttpProblem 422. */
export function pastOf(
  atMs: number | undefined,
  { nowMs, field }: { nowMs: number; field: string },
): number {
  if (atMs === undefined) return nowMs;
  if (atMs <= nowMs) return atMs;
  const expected = `a time up to now ${nowMs}`;
  throw fieldProblem(field, expected, atMs);
}

function changeRoutes(parts: KitchenParts): Route[] {
  const { boils, clock } = parts;
  return [
    route({
      method: "patch",
      path: "/boils/{id}",
      summary: "End a boil (endedMs), or change what it was",
      body: boilPatchSchema,
      answer: boilSchema,
      handle: ({ id, body }) => {
        const before = boils.get(boilIdOf(id));
        requireOpenSeason(parts, before.startedMs, body.startedMs, body.endedMs);
        if (typeof body.endedMs === "number") {
          pastOf(body.endedMs, { nowMs: clock.nowMs(), field: "endedMs" });
        }
        return viewOf(parts, boils.update(before.id, body));
      },
    }),
    route({
      method: "delete",
      path: "/boils/{id}",
      summary: "Delete a boil with its log; batches bottled from it stay",
      handle: ({ id }) => {
        const { startedMs, entries } = boils.get(boilIdOf(id));
        requireOpenSeason(parts, startedMs);
        strikePours(parts, entries);
        boils.remove(boilIdOf(id));
      },
    }),
  ];
}
