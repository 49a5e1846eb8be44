// How long until a boiling pan is syrup, from the last temperatures of it.
import { brixInPan, sapBoilingTempC } from "./activity.ts";

export type PanReading = { atMs: number; tempC: number };

export type PanWatch = {
  brix: number;
  tempC: number;
  /** "watch": stay with it and look all the time; "near": look often; "ready": draw off; "over": past it. */
  state: "boiling" | "near" | "watch" | "ready" | "over";
  /** When the pan was read last. */
  atMs: number;
  /** Minutes from now until the finishing temperature, 0 when it is due; null when it can't be told yet. */
  minutesLeft: number | null;
  minutesLow: number | null;
  minutesHigh: number | null;
  /** How fast the temperature will rise when it is ready, C a minute: it rises faster and faster. */
  riseAtFinishCPerMin: number | null;
};

const msPerMinute = 60_000;
const thermometerC = 0.1;
// Below this Brix a tenth of a degree says too little about the sugar.
const leastBrix = 15;
const mostReadings = 6;
const watchMinutes = 15;
const nearMinutes = 45;
const watchC = 0.8;
const nearC = 2;
const tooThickBrix = 1.5;

/**
 * Steam leaves a pan at a steady rate and sugar stays, so what is left of the pan, and with it 1/Brix, falls evenly:
 * a straight line through the last readings (true temperatures, since sap was last added) meets 1/aimBrix when the
 * pan is ready. What has passed since the last reading is taken off. undefined without a reading at which water boils. aimBrix 1-91, pressurePa 30 to 120 kPa.
 */
export function panWatch(pan: {
  readings: readonly PanReading[];
  pressurePa: number;
  aimBrix: number;
  nowMs: number;
}): PanWatch | undefined {
  const { pressurePa, aimBrix, nowMs } = pan;
  const points = pan.readings.flatMap(({ atMs, tempC }) => {
    const brix = brixInPan({ tempC, pressurePa });
    return brix === undefined ? [] : [{ atMs, tempC, brix }];
  });
  const last = points.at(-1);
  if (last === undefined) return undefined;
  const line = lineOf(points.filter(({ brix }) => brix >= leastBrix).slice(-mostReadings));
  const minutesAt = (brix: number) =>
    line === undefined ? null : minutesTo(line, { last, brix, nowMs });
  const minutesLeft = minutesAt(aimBrix);
  const slack = brixSlack(last.tempC, pressurePa);
  const finishC = sapBoilingTempC({ brix: aimBrix, pressurePa });
  return {
    brix: last.brix,
    atMs: last.atMs,
    tempC: last.tempC,
    state: stateOf({ brix: last.brix, aimBrix, minutesLeft, belowC: finishC - last.tempC }),
    minutesLeft,
    minutesLow: minutesAt(aimBrix - slack),
    minutesHigh: minutesAt(aimBrix + slack),
    riseAtFinishCPerMin:
      line === undefined ? null : -line.slope * aimBrix ** 2 * cPerBrix(aimBrix, pressurePa),
  };
}

type Line = { slope: number };

/** 1/Brix per minute by least squares; undefined with fewer than two moments or a pan that thins. */
function lineOf(points: readonly { atMs: number; brix: number }[]): Line | undefined {
  const first = points[0];
  if (first === undefined || points.length < 2) return undefined;
  const xs = points.map(({ atMs }) => (atMs - first.atMs) / msPerMinute);
  const ys = points.map(({ brix }) => 1 / brix);
  const meanX = xs.reduce((sum, x) => sum + x, 0) / xs.length;
  const meanY = ys.reduce((sum, y) => sum + y, 0) / ys.length;
  const spread = xs.reduce((sum, x) => sum + (x - meanX) ** 2, 0);
  const together = xs.reduce((sum, x, index) => sum + (x - meanX) * ((ys[index] ?? 0) - meanY), 0);
  if (spread === 0 || together >= 0) return undefined;
  return { slope: together / spread };
}

type Aim = { last: { atMs: number; brix: number }; brix: number; nowMs: number };

function minutesTo(line: Line, { last, brix, nowMs }: Aim): number {
  const passed = Math.max(0, nowMs - last.atMs) / msPerMinute;
  return Math.max(0, (1 / brix - 1 / last.brix) / line.slope - passed);
}

function cPerBrix(brix: number, pressurePa: number): number {
  const half = 0.05;
  const above = sapBoilingTempC({ brix: brix + half, pressurePa });
  return (above - sapBoilingTempC({ brix: brix - half, pressurePa })) / (2 * half);
}

/** Brix that a tenth of a degree of the thermometer is worth here. */
function brixSlack(tempC: number, pressurePa: number): number {
  const brix = brixInPan({ tempC, pressurePa }) ?? 0;
  const hotter = brixInPan({ tempC: tempC + thermometerC, pressurePa }) ?? brix;
  return hotter - brix;
}

function stateOf(pan: {
  brix: number;
  aimBrix: number;
  minutesLeft: number | null;
  belowC: number;
}): PanWatch["state"] {
  const minutes = pan.minutesLeft ?? Number.POSITIVE_INFINITY;
  if (pan.brix > pan.aimBrix + tooThickBrix) return "over";
  if (pan.belowC <= 0) return "ready";
  if (minutes <= watchMinutes || pan.belowC <= watchC) return "watch";
  return minutes <= nearMinutes || pan.belowC <= nearC ? "near" : "boiling";
}
