// What may run into a bucket whose air nobody measures: the flow of now, giving way to what past days did at the same hours.
import { msPerHour } from "../../../shared/units.ts";
import { type FlowHistory, historyStepMs } from "./history.ts";
import { type FlowPath, pathSteps, pathsAhead } from "./past-days.ts";

export type DaysAheadInput = {
  fromMs: number;
  stepMs: number;
  steps: number;
  flowNow: { meanGPerH: number; sdGPerH: number };
  history: FlowHistory;
  yardHistory: readonly FlowHistory[];
};

/** Hours in which the flow of now gives way to that of a past day. */
const relaxH = 3;
/** Five equally likely points of a standard normal value, and three. */
const scaleZ = [-1.282, -0.524, 0, 0.524, 1.282];
const flowZ = [-1.1, 0, 1.1];

/** Inflow in g up to each step ahead, one row a member; all equally likely. */
export function daysAhead(input: DaysAheadInput): Float64Array[] {
  const { fromMs, history, yardHistory, flowNow, stepMs, steps } = input;
  const stepH = stepMs / msPerHour;
  /** For how many hours the flow of now has counted by each step. */
  const nowHours = Array.from(
    { length: steps + 1 },
    (_, step) => relaxH * (1 - Math.exp((-step * stepH) / relaxH)),
  );
  return pathsAhead(fromMs, history, yardHistory).flatMap((path) =>
    spread(path, { ...input, nowHours }).flatMap((member) =>
      flowZ.map((z) => {
        const flowGPerH = Math.max(0, flowNow.meanGPerH + z * flowNow.sdGPerH);
        return member.map((inflowG, step) => inflowG + flowGPerH * (nowHours[step] ?? 0));
      }),
    ),
  );
}

/** One path at five sizes, summed up over the hours ahead, less what the flow of now still is. */
function spread(path: FlowPath, input: DaysAheadInput & { nowHours: number[] }): Float64Array[] {
  const { fromMs, nowHours, stepMs, steps } = input;
  const stepH = stepMs / msPerHour;
  const startStep = (fromMs % historyStepMs) / historyStepMs;
  const middle = new Float64Array(steps + 1);
  let sumG = 0;
  for (let step = 0; step < steps; step += 1) {
    const place = Math.min(pathSteps - 1, Math.floor(startStep + (step + 0.5) * stepH * 2));
    const newHours = stepH - ((nowHours[step + 1] ?? 0) - (nowHours[step] ?? 0));
    sumG += (path.flowGPerH[place] ?? 0) * newHours;
    middle[step + 1] = Math.max(middle[step] ?? 0, sumG);
  }
  return scaleZ
    .map((z) => Math.exp(path.logSd * z))
    .map((scale) => middle.map((inflowG) => inflowG * scale));
}
