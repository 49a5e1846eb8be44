// One tree with its bucket on its cell: steps them minute by minute and answers for any moment.
import { msPerDay, msPerHour, msPerMinute } from "../../shared/units.ts";
import type { Calibration } from "../scale/calibration.ts";
import type { BucketTotals } from "./bucket.ts";
import { createBumpTree } from "./bump-tree.ts";
import { createCell } from "./cell.ts";
import { createFreezeTree } from "./freeze-tree.ts";
import { createTouchEdges } from "./handling.ts";
import { createHanging } from "./hanging.ts";
import { createLid, isSnow } from "./lid.ts";
import type { SimulatedBucket } from "./plan.ts";
import { subSeed } from "./random.ts";
import type { Tree } from "./tree.ts";
import type { Tape } from "./truth.ts";
import type { WeatherSource } from "./weather.ts";

/** The tree lives through this much weather before its bucket is hung. */
export const warmUpMs = 2 * msPerDay;
const stepMs = msPerMinute;
const stepH = stepMs / msPerHour;
/** Rain that finds its way under a lid. */
const rainGPerMm = 4;

export type StationSettings = {
  bucket: SimulatedBucket;
  place: number;
  seed: number;
  startMs: number;
  wallOffsetMs: number;
  weather: WeatherSource;
  calibration: Calibration;
  tape?: Tape;
};

export type Station = {
  /** Lives until a time with nobody looking; nothing when it is there already. */
  live(untilMs: number): void;
  /** Raw counts at a time that is not before the last one asked for; undefined when lost. */
  countsAt(atMs: number): number[] | undefined;
  totals(): BucketTotals;
};

export function createStation(settings: StationSettings): Station {
  const { weather, bucket: planned, tape } = settings;
  const seed = subSeed(settings.seed, planned.board, planned.cell);
  const create = planned.kind === "bump" ? createBumpTree : createFreezeTree;
  const tree = create({ seed, vigourL: planned.vigourL, taps: planned.taps });
  const cell = createCell({ seed, calibration: settings.calibration });
  const lid = createLid();
  const hanging = createHanging(planned, { lid, tape });
  const edges = createTouchEdges(settings);
  let atMs = settings.startMs;
  let nextStepMs = Math.floor(settings.startMs / stepMs) * stepMs - warmUpMs;
  let flowGPerH = 0;
  let inflowGPerH = 0;

  function step(): void {
    const now = weather.at(nextStepMs);
    flowGPerH = stepTree(tree, settings, nextStepMs);
    inflowGPerH = flowGPerH + (isSnow(now) ? 0 : now.rainMmPerH * rainGPerMm);
    lid.step(now, stepH);
    cell.step(now, hanging.grossG(), stepH);
    nextStepMs += stepMs;
  }

  function fillUntil(toMs: number): void {
    if (toMs <= atMs) return;
    hanging.fill((inflowGPerH * (toMs - atMs)) / msPerHour, toMs);
    atMs = toMs;
  }

  function advance(toMs: number): void {
    while (nextStepMs <= atMs) step();
    let stopMs = Math.min(nextStepMs, edges.nextMs());
    while (stopMs <= toMs) {
      fillUntil(stopMs);
      if (stopMs === edges.nextMs()) {
        if (hanging.touch(edges.take())) cell.reseat();
      } else {
        step();
      }
      stopMs = Math.min(nextStepMs, edges.nextMs());
    }
    fillUntil(toMs);
  }

  return {
    live: advance,
    countsAt(askedMs) {
      advance(askedMs);
      const grossG = hanging.grossG();
      const { board, cell: cellName } = planned;
      const sapG = hanging.bucket.sapG();
      const truth = { sapG, snowG: lid.snowG(), grossG, flowGPerH };
      tape?.({ kind: "reading", atMs: askedMs, board, cell: cellName, ...truth });
      return cell.window(weather.at(askedMs), grossG);
    },
    totals: () => hanging.bucket.totals(),
  };
}

function stepTree(tree: Tree, settings: StationSettings, atMs: number): number {
  return tree.step({
    weather: settings.weather.at(atMs),
    hourOfDay: ((atMs + settings.wallOffsetMs) % msPerDay) / msPerHour,
    stepH,
    seasonDay: Math.max(0, (atMs - settings.startMs) / msPerDay),
  });
}
