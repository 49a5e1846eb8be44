// Forecasts kept until it is known what came: what the calibration of the simulated yard is learnt from.
import {
  type Calibration,
  type ClosedForecast,
  calibrationFrom,
  uncalibrated,
} from "../../../server/domain/brim/calibration.ts";
import { toldBy } from "../../../server/domain/brim/forecast.ts";
import {
  type AirTold,
  airScaleFrom,
  airToldBy,
  type ClosedAir,
} from "../../../server/domain/brim/outlook-errors.ts";
import type { SeasonWeather } from "./season-weather.ts";
import type { Followed } from "./yard.ts";

type Kept = Omit<ClosedForecast, "cameG" | "ranOver"> & { tree: Followed; untilMs: number };
type Told = {
  tree: Followed;
  nowMs: number;
  hasOutlook: boolean;
  members: readonly Float64Array[];
};
type Learner = { kept: Kept[]; closed: ClosedForecast[]; day: number; calibration: Calibration };

type KeptAir = AirTold & { atMs: number };

const hourMs = 3_600_000;
const airEveryMs = 6 * hourMs;
const dayMs = 24 * hourMs;

export type ForecastLedger = ReturnType<typeof createForecastLedger>;

/** As the product: what came is what the filter booked, learnt from once a day. */
export function createForecastLedger(weather: SeasonWeather) {
  const air: KeptAir[] = [];
  const start = (): Learner => ({ kept: [], closed: [], day: 0, calibration: uncalibrated });
  const learners = { told: start(), untold: start() };
  const learnerOf = (hasOutlook: boolean) => (hasOutlook ? learners.told : learners.untold);
  return {
    keep({ tree, nowMs, hasOutlook, members }: Told): void {
      for (const told of toldBy(members, tree.setup.capacityG)) {
        learnerOf(hasOutlook).kept.push({
          tree,
          atMs: nowMs,
          untilMs: nowMs + told.leadH * hourMs,
          ...told,
        });
      }
    },
    keepAir(nowMs: number): void {
      if (nowMs % airEveryMs !== 0) return;
      const now = { atMs: nowMs, airC: weather.at(nowMs).airC };
      air.push(
        ...airToldBy(weather.outlookAt(nowMs), now).map((told) => ({ ...told, atMs: nowMs })),
      );
    },
    calibration(nowMs: number, hasOutlook: boolean): Calibration {
      const learner = learnerOf(hasOutlook);
      const day = Math.floor(nowMs / dayMs);
      if (day === learner.day) return learner.calibration;
      learner.day = day;
      closeUntil(learner, nowMs);
      const learnt = calibrationFrom(learner.closed);
      const airScale = airScaleFrom(closedAir(air, { nowMs, weather }), nowMs);
      learner.calibration = hasOutlook ? { ...learnt, airScale } : learnt;
      return learner.calibration;
    },
  };
}

function closedAir(
  air: readonly KeptAir[],
  { nowMs, weather }: { nowMs: number; weather: SeasonWeather },
): ClosedAir[] {
  return air.flatMap((told) => {
    const thenMs = told.atMs + told.leadH * hourMs;
    return thenMs > nowMs ? [] : [{ ...told, cameC: weather.at(thenMs).airC }];
  });
}

function closeUntil(learner: Learner, nowMs: number): void {
  const due = learner.kept.filter(({ untilMs }) => untilMs <= nowMs);
  learner.kept = learner.kept.filter(({ untilMs }) => untilMs > nowMs);
  for (const { tree, untilMs, ...told } of due) {
    const slots = tree.slots.filter(({ atMs }) => atMs > told.atMs && atMs <= untilMs);
    const cameG = slots.reduce((sum, { inflowG }) => sum + inflowG, 0);
    learner.closed.push({ ...told, cameG, ranOver: slots.some(({ full }) => full) });
  }
}
