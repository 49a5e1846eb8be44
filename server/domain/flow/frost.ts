// When the wood is certainly frozen no sap runs: what a cell shows then is its own drift.
import type { BucketReading } from "../bucket.ts";

const woodLagMs = 2 * 3_600_000;
const woodBelowC = -2;
const airBelowC = -1.5;
const sunFromHour = 8;
const sunUntilHour = 18;

/** Air temperature as wood feels it: a lag of two hours behind the air [own]. */
export function woodTempAfter(
  before: { woodTempC: number | null; atMs: number | null },
  { airC, atMs }: BucketReading,
): number | null {
  if (airC === undefined || !(Math.abs(airC) <= 60)) return before.woodTempC;
  if (before.woodTempC === null || before.atMs === null) return airC;
  const share = 1 - Math.exp(-(atMs - before.atMs) / woodLagMs);
  return before.woodTempC + share * (airC - before.woodTempC);
}

/** True when it has long been cold and no sun is on the stem; never without temperature and hour of day. */
export function isWoodFrozen(
  woodTempC: number | null,
  { airC, localHour }: BucketReading,
): boolean {
  if (woodTempC === null || airC === undefined || localHour === undefined) return false;
  const isSunOut = localHour >= sunFromHour && localHour <= sunUntilHour;
  return woodTempC < woodBelowC && airC < airBelowC && !isSunOut;
}
