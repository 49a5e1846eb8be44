// The round: what to gather next, the one a person is on, the sketch that distances come from, ice thrown out.
import { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import { sugarInIce } from "../../shared/sap/ice.ts";
import { msPerHour, msPerMinute } from "../../shared/units.ts";
import { spanQuerySchema } from "../../shared/wire/api.ts";
import {
  type CurrentRound,
  type IceThrown,
  iceThrownPostSchema,
  iceThrownSchema,
  nextRoundSchema,
  roundAnswerSchema,
  type Sketch,
  sketchPatchSchema,
  sketchSchema,
  type WalkedRound,
  walkedRoundSchema,
} from "../../shared/wire/rounds.ts";
import type { StoredIce } from "../db/rounds.ts";
import { scaledPlaces } from "../domain/rounds/distances.ts";
import { requireOpenSeason } from "./closed.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";
import { numberFrom, spanFrom } from "./span.ts";

type Parts = Pick<
  HttpParts,
  "watch" | "rounds" | "gatherings" | "buckets" | "taps" | "sugars" | "clock" | "seasons"
>;

/** Nobody walks longer: a round that was never ended ends itself. */
const longestMs = 4 * msPerHour;
/** Notices are held for twice the planned time, but at least so long. */
const leastPauseMs = 20 * msPerMinute;
const usualBrix = 2;

export function roundRoutes(parts: Parts): Route[] {
  return [...walkRoutes(parts), ...sketchRoutes(parts), ...iceRoutes(parts)];
}

function walkRoutes(parts: Parts): Route[] {
  const { watch, rounds, clock } = parts;
  return [
    route({
      method: "get",
      path: "/rounds/next",
      summary:
        "Which buckets to gather now, on which trips, what is in each hand, what is left and why",
      answer: nextRoundSchema,
      handle: () => watch.nextRound(),
    }),
    route({
      method: "get",
      path: "/rounds/current",
      summary:
        "The round that a person is on, ticked off by what the cells see; null when nobody is",
      answer: roundAnswerSchema,
      handle: () => ({ round: currentRound(parts) }),
    }),
    route({
      method: "post",
      path: "/rounds",
      summary: "Set out on the next round: it is kept as planned, and notices are held meanwhile",
      answer: roundAnswerSchema,
      status: 201,
      handle: () => {
        const plan = watch.nextRound();
        const startedMs = Math.round(clock.nowMs());
        closeRound(parts, null);
        rounds.start(startedMs, plan);
        watch.pause(startedMs + Math.max(leastPauseMs, 2 * plan.minutes * msPerMinute));
        return { round: currentRound(parts) };
      },
    }),
    route({
      method: "post",
      path: "/rounds/end",
      summary: "Back from the round: notices go out again",
      handle: () => {
        closeRound(parts, Math.round(clock.nowMs()));
        watch.pause(undefined);
      },
    }),
    route({
      method: "get",
      path: "/rounds",
      summary: "Rounds of a span that are over: as planned, and what was gathered meanwhile",
      query: spanQuerySchema,
      answer: z.array(walkedRoundSchema),
      handle: ({ query }) =>
        listWalked(parts, spanFrom(query, { fromMs: 0, toMs: clock.nowMs() + 1 })),
    }),
  ];
}

/** Keeps the round that somebody was on, with its end where it is known. */
function closeRound({ rounds }: Pick<Parts, "rounds">, endedMs: number | null): void {
  const stored = rounds.current();
  if (stored === undefined) return;
  const isForgotten = endedMs !== null && endedMs - stored.startedMs > longestMs;
  rounds.insertWalked(stored, isForgotten ? null : endedMs);
  rounds.end();
}

/** Rounds that are over, oldest first, with what was gathered while each lasted. */
export function listWalked(
  { rounds, gatherings }: Pick<Parts, "rounds" | "gatherings">,
  span: { fromMs: number; toMs: number },
): WalkedRound[] {
  return rounds.listWalked(span).map((walk) => {
    const toMs = (walk.endedMs ?? walk.startedMs + longestMs) + 1;
    const gathered = gatherings
      .list({ fromMs: walk.startedMs, toMs })
      .filter(({ struck }) => !struck);
    return {
      ...walk,
      gatheredL: gathered.reduce((sum, { volumeL }) => sum + volumeL, 0),
      gatheredBuckets: new Set(gathered.map(({ bucketId }) => bucketId)).size,
    };
  });
}

function currentRound({ rounds, gatherings, clock }: Parts): CurrentRound | null {
  const stored = rounds.current();
  const nowMs = Math.round(clock.nowMs());
  if (stored === undefined || nowMs - stored.startedMs > longestMs) return null;
  const gathered = gatherings
    .list({ fromMs: stored.startedMs, toMs: nowMs + 1 })
    .filter(({ struck }) => !struck)
    .map(({ bucketId, atMs, volumeL, by }) => ({ bucketId, atMs, volumeL, by }));
  return { ...stored, gathered };
}

function sketchRoutes({ rounds }: Parts): Route[] {
  const sketch = (): Sketch => ({
    places: rounds.listPlaces(),
    paced: rounds.listPaced(),
    laidOut: rounds.listLaidOut(),
    carryKg: rounds.carryKg(),
  });
  return [
    route({
      method: "get",
      path: "/sketch",
      summary: "The sketch of the yard: places in metres, paced distances, what a person carries",
      answer: sketchSchema,
      handle: sketch,
    }),
    route({
      method: "patch",
      path: "/sketch",
      summary: "Move places on the sketch, write paced distances down, or draw it to scale by one",
      body: sketchPatchSchema,
      answer: sketchSchema,
      handle: ({ body }) => {
        for (const { fromPlace, toPlace } of [...(body.paced ?? []), ...asList(body.scale)]) {
          requireTwo(fromPlace, toPlace);
        }
        if (body.places !== undefined) rounds.putPlaces(body.places, body.laidOut);
        if (body.scale !== undefined) rounds.putPlaces(toScale(rounds.listPlaces(), body.scale));
        if (body.paced !== undefined) rounds.putPaced(body.paced);
        if (body.carryKg !== undefined) rounds.setCarryKg(body.carryKg);
        return sketch();
      },
    }),
  ];
}

function asList<T>(one: T | undefined): T[] {
  return one === undefined ? [] : [one];
}

function requireTwo(fromPlace: string, toPlace: string): void {
  if (fromPlace !== toPlace) return;
  throw new AppError("conflict", `toPlace requires another place than fromPlace, got ${toPlace}`);
}

function toScale(
  places: Sketch["places"],
  scale: { fromPlace: string; toPlace: string; distanceM: number },
): Sketch["places"] {
  const scaled = scaledPlaces(places, scale);
  if (scaled !== undefined) return scaled;
  const { fromPlace, toPlace } = scale;
  throw new AppError(
    "conflict",
    `scale requires two places apart on the sketch, got ${fromPlace} and ${toPlace}`,
  );
}

function iceRoutes(parts: Parts): Route[] {
  const { rounds, buckets, clock } = parts;
  return [
    route({
      method: "get",
      path: "/ice",
      summary: "Ice that was thrown out, with the sugar it took along, oldest first",
      answer: z.array(iceThrownSchema),
      handle: () => rounds.listIce().map((ice) => withSugar(parts, ice)),
    }),
    route({
      method: "post",
      path: "/ice",
      summary: "Write down ice taken out of a bucket and thrown away",
      body: iceThrownPostSchema,
      answer: iceThrownSchema,
      status: 201,
      handle: ({ body }) => {
        buckets.get(body.bucketId);
        const nowMs = Math.round(clock.nowMs());
        const atMs = body.atMs ?? nowMs;
        if (atMs > nowMs) {
          throw new AppError("conflict", `atMs requires a time up to now ${nowMs}, got ${atMs}`);
        }
        requireOpenSeason(parts, atMs);
        return withSugar(parts, rounds.insertIce({ ...body, atMs }));
      },
    }),
    route({
      method: "delete",
      path: "/ice/{id}",
      summary: "Delete an entry of ice that was wrong",
      handle: ({ id }) => {
        const ice = rounds.getIce(numberFrom(id, "ice"));
        requireOpenSeason(parts, ice.atMs);
        rounds.removeIce(ice.id);
      },
    }),
  ];
}

/** By the tree's own sugar where it was measured, else that of usual sap. */
function withSugar({ buckets, taps, sugars }: Parts, ice: StoredIce): IceThrown {
  const tapId = buckets.list().find(({ id }) => id === ice.bucketId)?.tapIds[0];
  const treeId = tapId === undefined ? undefined : taps.find(tapId)?.treeId;
  const brix = sugars.list().findLast((one) => one.treeId === treeId)?.brix ?? usualBrix;
  const { sugarG, syrupMl } = sugarInIce({ massKg: ice.massKg, brix });
  return { ...ice, sugarG: Math.round(sugarG * 10) / 10, syrupMl: Math.round(syrupMl * 10) / 10 };
}
