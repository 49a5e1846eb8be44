// What closed forecasts teach of how far to trust the next ones: how wide they must be, and how bold.
//
// The spread follows the variance of the rank at which the truth fell; the boldness is a logistic
// recalibration (J. Platt 1999, from memory) on virtual fills, drawn hard towards saying it as it is.
import { msPerDay } from "../../../shared/units.ts";
import { type AirScale, asSupposed } from "./outlook-errors.ts";

/** Inflow told for one lead. */
export type ToldInflow = {
  leadH: number;
  /** Inflow at the shares of `toldShares`, ascending. */
  toldG: readonly number[];
  capacityG: number;
};

/** One whose time is over, with what came. */
export type ClosedForecast = ToldInflow & {
  atMs: number;
  cameG: number;
  /** Some of it ran over the rim: so much came at least. */
  ranOver: boolean;
};

/** logit of what is said = shift + slope * logit of what the paths say. */
export type Boldness = { shift: number; slope: number };

export type Calibration = {
  /** Spread of a path as a whole, as a logarithm. */
  pathLogSd: number;
  /** By `toldLeadsH`; between those in between, outside them the nearest. */
  boldness: readonly Boldness[];
  /** How wrong outlooks on the air are. */
  airScale: AirScale;
};

export const toldLeadsH = [12, 24] as const;
const plain: Boldness = { shift: 0, slope: 1 };
export const uncalibrated: Calibration = {
  pathLogSd: 0.2,
  boldness: [plain, plain],
  airScale: asSupposed,
};
export const toldShares: readonly number[] = Array.from({ length: 21 }, (_, at) => (at + 0.5) / 21);

const spreadStepADay = 0.02;
const spreadRange = { low: 0.1, high: 0.7 };
const evenVariance = 1 / 12;
/** Where neither was more, the rank tells of nothing but a quiet tree. */
const activeG = 100;
const leastDays = 10;
const rooms = 10;
/** Fills of one forecast, of the hours beside it and of trees alike tell nearly the same. */
const pairWeight = 0.05;
const priorWeight = 2;
const mostShift = 0.7;
const slopeRange = { low: 0.7, high: 1.3 };
const newtonSteps = 8;

/** From forecasts in order of time; before ten days of them only the spread is learnt. */
export function calibrationFrom(closed: readonly ClosedForecast[]): Calibration {
  const first = closed[0];
  const last = closed.at(-1);
  if (first === undefined || last === undefined) return uncalibrated;
  const pathLogSd = spreadFrom(closed);
  if (last.atMs - first.atMs < leastDays * msPerDay) return { ...uncalibrated, pathLogSd };
  const ofLead = (lead: number) => boldnessFrom(closed.filter(({ leadH }) => leadH === lead));
  return { ...uncalibrated, pathLogSd, boldness: toldLeadsH.map(ofLead) };
}

/** What to say when the paths say this for a lead; 0 and 1 stay what they are. */
export function calibrated(
  probability: number,
  leadH: number,
  { boldness: [near = plain, far = plain] }: Calibration,
): number {
  if (probability <= 0 || probability >= 1) return probability;
  const [nearH, farH] = toldLeadsH;
  const part = within((leadH - nearH) / (farH - nearH), { low: 0, high: 1 });
  const shift = near.shift + part * (far.shift - near.shift);
  const slope = near.slope + part * (far.slope - near.slope);
  if (shift === 0 && slope === 1) return probability;
  return logistic(shift + slope * logit(probability));
}

function spreadFrom(closed: readonly ClosedForecast[]): number {
  const days = new Map<number, { sum: number; count: number }>();
  for (const one of closed) {
    if (Math.max(one.cameG, medianOf(one.toldG)) < activeG) continue;
    const day = days.get(Math.floor(one.atMs / msPerDay)) ?? { sum: 0, count: 0 };
    days.set(Math.floor(one.atMs / msPerDay), day);
    day.sum += rankVariance(one);
    day.count += 1;
  }
  let spread = uncalibrated.pathLogSd;
  for (const { sum, count } of days.values()) {
    const step = sum / count > evenVariance ? spreadStepADay : -spreadStepADay;
    spread = Math.min(spreadRange.high, Math.max(spreadRange.low, spread + step));
  }
  return spread;
}

/** Of the rank at which the truth fell about the middle; of what ran over, evenly over the ranks that are left. */
function rankVariance({ toldG, cameG, ranOver }: ClosedForecast): number {
  const off = shareBelow(toldG, cameG) - 0.5;
  return ranOver ? (0.5 ** 3 - off ** 3) / (3 * (0.5 - off)) : off * off;
}

function medianOf(toldG: readonly number[]): number {
  return toldG[toldG.length >> 1] ?? 0;
}

/** Share of the told inflow below a value; in the middle of equal ones. */
export function shareBelow(toldG: readonly number[], valueG: number): number {
  const ends = { below: 0, equal: 0 };
  for (const told of toldG) {
    if (told < valueG) ends.below += 1;
    else if (told === valueG) ends.equal += 1;
  }
  if (ends.equal > 0) return (ends.below + ends.equal / 2) / toldG.length;
  const before = toldG[ends.below - 1];
  const after = toldG[ends.below];
  const part = before === undefined || after === undefined ? 0.5 : partOf(before, after, valueG);
  const from = before === undefined ? 0 : ends.below - 0.5;
  const width = before === undefined || after === undefined ? 0.5 : 1;
  return (from + part * width) / toldG.length;
}

function partOf(before: number, after: number, value: number): number {
  return (value - before) / (after - before);
}

/** Ridge regression by Newton's method on rooms spread evenly over the bucket. */
function boldnessFrom(closed: readonly ClosedForecast[]): Boldness {
  const pairs = closed.flatMap(virtualFills);
  let shift = 0;
  let slope = 1;
  for (let step = 0; step < newtonSteps; step += 1) {
    const down = { shift: priorWeight * shift, slope: priorWeight * (slope - 1) };
    const bend = { shift: priorWeight, both: 0, slope: priorWeight };
    for (const { said, came } of pairs) {
      const probability = logistic(shift + slope * said);
      const miss = pairWeight * (probability - came);
      const weight = pairWeight * probability * (1 - probability);
      down.shift += miss;
      down.slope += miss * said;
      bend.shift += weight;
      bend.both += weight * said;
      bend.slope += weight * said * said;
    }
    const area = bend.shift * bend.slope - bend.both * bend.both;
    shift = within(shift - (bend.slope * down.shift - bend.both * down.slope) / area, {
      low: -mostShift,
      high: mostShift,
    });
    slope = within(slope - (bend.shift * down.slope - bend.both * down.shift) / area, slopeRange);
  }
  return { shift, slope };
}

/** What ran over may have filled larger rooms too: as likely as was told of those at least so full. */
function virtualFills({ toldG, cameG, ranOver, capacityG }: ClosedForecast) {
  const above = (roomG: number) => 1 - shareBelow(toldG, roomG);
  const aboveCame = above(cameG);
  return Array.from({ length: rooms }, (_, index) => {
    const roomG = ((index + 0.5) / rooms) * capacityG;
    const beyond = ranOver ? above(roomG) / aboveCame : 0;
    return { said: logit(above(roomG)), came: cameG > roomG ? 1 : beyond };
  });
}

function within(value: number, { low, high }: { low: number; high: number }): number {
  return Math.min(high, Math.max(low, value));
}

function logistic(x: number): number {
  return 1 / (1 + Math.exp(-x));
}

function logit(probability: number): number {
  const inside = within(probability, { low: 1e-4, high: 1 - 1e-4 });
  return Math.log(inside / (1 - inside));
}
