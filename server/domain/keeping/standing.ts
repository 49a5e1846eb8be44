// Sap that only stands: how it ages in the weather ahead, and by when it should be boiled.
import { volumeLFromG } from "../../../shared/sap/density.ts";
import { msPerHour } from "../../../shared/units.ts";
import { boilByPerMl, type Flora, growthPerH } from "./growth.ts";
import { earlyRank, memberFloras, weatherCount, weatherOf, weatherZ } from "./members.ts";
import type { SapBody } from "./mixing.ts";
import { type SapNode, sapNode, stepEnthalpyJ } from "./temperature.ts";

export type WeatherAhead = {
  airC: (atMs: number) => number;
  /** Sunlight on the bucket or vessel, W/m2; none when left out. */
  sunWPerM2?: (atMs: number) => number;
};

const horizonH = 14 * 24;
/** How far the air may be off, growing with the hours ahead (own estimate). */
const airSdC = { now: 0.5, perH: 0.03, most: 3 };
const weathers = Array.from({ length: weatherCount }, (_, weather) => weatherZ(weather));

type Ahead = { enthalpyJ: number[]; logs: number[] };

/**
 * When a tenth of the ensemble has passed boil-by if nothing more runs in, in epoch ms; null when that is
 * not within 14 days or there is no sap.
 */
export function boilByOf(body: SapBody, fromMs: number, weather: WeatherAhead): number | null {
  if (body.netG <= 0) {
    return null;
  }
  const limit = Math.log(boilByPerMl);
  const volumeMl = volumeLFromG(body.netG) * 1000;
  const crossedH: number[] = [];
  let ahead: Ahead = {
    enthalpyJ: weathers.map(() => body.enthalpyJ),
    logs: body.counts.map((count) => Math.log(count / volumeMl)),
  };
  ahead.logs.forEach((log) => {
    if (log >= limit) crossedH.push(0);
  });
  for (let hour = 0; hour < horizonH && crossedH.length < earlyRank; hour += 1) {
    const next = hourLater(ahead, body, { weather, fromMs, hour });
    ahead.logs.forEach((log, member) => {
      const after = next.logs[member] ?? log;
      if (log < limit && after >= limit) crossedH.push(hour + (limit - log) / (after - log));
    });
    ahead = next;
  }
  const earlyH = crossedH.sort((a, b) => a - b)[earlyRank - 1];
  return earlyH === undefined ? null : Math.round(fromMs + earlyH * msPerHour);
}

function hourLater(
  { enthalpyJ, logs }: Ahead,
  { netG }: SapBody,
  { weather, fromMs, hour }: { weather: WeatherAhead; fromMs: number; hour: number },
): Ahead {
  const middleMs = fromMs + (hour + 0.5) * msPerHour;
  const expectedC = weather.airC(middleMs);
  const sunWPerM2 = weather.sunWPerM2?.(middleMs) ?? 0;
  const sdC = Math.min(airSdC.most, airSdC.now + airSdC.perH * hour);
  const still = { massG: netG, sunWPerM2, inflowGPerH: 0, inflowC: 0, dtH: 1 };
  const nextJ = enthalpyJ.map((heldJ, index) =>
    stepEnthalpyJ({
      ...still,
      enthalpyJ: heldJ,
      airC: expectedC + sdC * (weathers[index] ?? 0),
    }),
  );
  const nodes = nextJ.map((joules, index) =>
    middleOf(sapNode(enthalpyJ[index] ?? joules, netG), sapNode(joules, netG)),
  );
  return {
    enthalpyJ: nextJ,
    logs: logs.map((log, member) => log + hourGrowth(nodes, member)),
  };
}

function hourGrowth(nodes: readonly SapNode[], member: number): number {
  const node = nodes[weatherOf(member)];
  const flora: Flora | undefined = memberFloras[member];
  if (node === undefined || flora === undefined) {
    throw new RangeError(`standing sap requires ${memberFloras.length} members, got ${member + 1}`);
  }
  return growthPerH(node.tempC, flora) * (1 - node.iceFraction);
}

function middleOf(before: SapNode, after: SapNode): SapNode {
  return {
    tempC: (before.tempC + after.tempC) / 2,
    iceFraction: (before.iceFraction + after.iceFraction) / 2,
  };
}
