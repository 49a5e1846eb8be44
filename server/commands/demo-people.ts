// What the demo's people do beside their rounds: measure sugar, boil the barrel down, fill bottles; all through HTTP.
import { localParts, msAtLocalTime } from "../../shared/local-time.ts";
import { msPerDay, msPerHour } from "../../shared/units.ts";
import type { YardView } from "../../shared/wire/api.ts";
import type { Boil } from "../../shared/wire/boils.ts";
import type { Tree } from "../../shared/wire/records.ts";
import type { BoilPlan } from "../../shared/wire/syrup.ts";
import type { VesselLine } from "../../shared/wire/vessels.ts";

/** A call of the page's own API. */
export type Ask = <T = { id: string }>(
  method: "GET" | "POST" | "PATCH",
  path: string,
  body?: unknown,
) => Promise<T>;

type Kitchen = { ask: Ask; timeZone: string; barrelId: string };

const pan = { panAreaM2: 0.56, fuel: "wood", arch: "goodArch", holdUpL: 0.3 } as const;
const boilsAt = "09:00";
const everyDays = 2;
const leastL = 20;
const longestBoilMs = 10 * msPerHour;
/** By day of the season: sap gets thinner and syrup darker. */
const sapBrixOn = (day: number) => 2.3 - 0.03 * day;
const lightPercentOn = (day: number) => Math.max(30, 78 - 4 * day);
/** How far this boil is from the plan, so that there is something to learn. */
const slowness = [1.12, 0.96, 1.05, 1.01];

/** The pan's set-up, and one reading of sugar for most trees. */
export async function setUpKitchen(ask: Ask, fromMs: number): Promise<void> {
  await ask("PATCH", "syrup/setup", pan);
  const trees = await ask<Tree[]>("GET", "trees");
  for (const [index, tree] of trees.entries()) {
    if (index % 4 === 3) continue;
    const readingBrix = Math.round(10 * (1.9 + 0.13 * ((index * 5) % 8))) / 10;
    const atMs = fromMs + 2 * msPerDay + index * 60_000;
    if (atMs > Date.now()) return;
    const reading = { instrument: "refractometer", readingBrix, tempC: 16, atMs };
    await ask("POST", `trees/${tree.id}/sugars`, reading);
  }
}

/** Every other morning of the past the barrel was boiled down; what is in it now is what is left. */
export async function boilThePast(
  kitchen: Kitchen,
  { fromMs, nowMs }: { fromMs: number; nowMs: number },
): Promise<void> {
  for (let day = everyDays; fromMs + day * msPerDay < nowMs; day += everyDays) {
    const { dayKey } = localParts(fromMs + day * msPerDay, kitchen.timeZone);
    const startedMs = msAtLocalTime(dayKey, boilsAt, kitchen.timeZone);
    if (startedMs + longestBoilMs < nowMs) await boilDown(kitchen, { startedMs, day });
  }
  await kitchen.ask("PATCH", `vessels/${kitchen.barrelId}`, { parked: false });
}

/**
 * While the demo runs: when the barrel is nearly full or its sap won't keep, it has just been boiled down. As long as
 * somebody has a boil of their own going, is out on a round, or empties the barrel, they keep out of it.
 */
export async function lookAfterBarrel(kitchen: Kitchen, fromMs: number): Promise<void> {
  const { ask, barrelId } = kitchen;
  const { nowMs, vessels, yard } = await ask<YardView>("GET", "yard");
  // Who is out on a round can't be at the pan.
  if (yard.pausedUntilMs !== null) return;
  const barrel = vessels.find(({ id }) => id === barrelId);
  if (barrel === undefined || barrel.volumeL < leastL) return;
  const boilByMs = barrel.keeping?.boilByMs ?? Number.POSITIVE_INFINITY;
  if (barrel.fullFraction < 0.7 && boilByMs > nowMs + 6 * msPerHour) return;
  const startedMs = nowMs - longestBoilMs;
  const boils = await ask<Boil[]>("GET", `boils?fromMs=${startedMs - msPerDay}&toMs=${nowMs + 1}`);
  if (boils.some(({ endedMs }) => endedMs === null || endedMs > startedMs)) return;
  await boilDown(kitchen, { startedMs, day: Math.floor((nowMs - fromMs) / msPerDay) });
}

async function boilDown(
  { ask, barrelId }: Kitchen,
  { startedMs, day }: { startedMs: number; day: number },
): Promise<void> {
  const lines = await ask<VesselLine[]>("GET", `vessels/${barrelId}/pours`);
  const volumeL = lines.find(({ atMs }) => atMs <= startedMs)?.afterL ?? 0;
  if (volumeL < leastL) return;
  const brix = sapBrixOn(day);
  const plan = await ask<BoilPlan>("POST", "syrup/plan", { sap: { volumeL, brix, tempC: 4 } });
  const factor = slowness[day % slowness.length] ?? 1;
  const tookMs = Math.min(longestBoilMs, (plan.hours?.middle ?? 5) * factor * msPerHour);
  const endedMs = Math.round(startedMs + tookMs);
  const at = (share: number) => Math.round(startedMs + share * tookMs);
  const drawnL = 0.97 * plan.syrup.syrupVolumeL;
  const { id } = await ask<Boil>("POST", "boils", { startedMs });
  const entries = [
    { kind: "sap", volumeL, brix, tempC: 4, vesselId: barrelId, atMs: startedMs },
    { kind: "fuel", amount: plan.fuel.wood.woodKg * factor, atMs: at(0.3) },
    { kind: "pan", tempC: plan.finishing.finishingTempC - 1.2, atMs: at(0.95) },
    { kind: "drawn", volumeL: drawnL, brix: plan.finishing.aimBrix, atMs: endedMs },
  ];
  for (const entry of entries) await ask("POST", `boils/${id}/entries`, entry);
  await ask("PATCH", `boils/${id}`, { endedMs });
  const bottledL = drawnL - pan.holdUpL;
  if (bottledL < 0.25) return;
  await ask("POST", "batches", {
    boilId: id,
    bottledMs: endedMs,
    brix: plan.finishing.aimBrix,
    transmissionPercent: lightPercentOn(day),
    fillTempC: 86,
    volumeL: bottledL,
    bottles: [{ volumeL: 0.25, count: Math.floor(bottledL / 0.25) }],
  });
}
