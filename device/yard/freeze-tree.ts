// A simulated maple with three zones of wood that charge by freezing and give their sap on thawing.
import { createRandom, createWander, type Random, subSeed } from "./random.ts";
import {
  sapGPerL,
  type Tree,
  type TreeSettings,
  type TreeStep,
  tapCeilingGPerH,
  tapFactor,
  tapHoleShare,
} from "./tree.ts";

// Structure after Tyree 1983 (uptake on freezing, exudation on thaw); the numbers are our own.
type ZoneShape = {
  tauH: number;
  latentK: number;
  sunKPerWM2: number;
  share: number;
  drainH: number;
};
const zoneShapes: readonly ZoneShape[] = [
  { tauH: 0.7, latentK: 4, sunKPerWM2: 0.011, share: 0.4, drainH: 1.8 },
  { tauH: 1.8, latentK: 6, sunKPerWM2: 0.0045, share: 0.38, drainH: 3.2 },
  { tauH: 4, latentK: 9, sunKPerWM2: 0.001, share: 0.22, drainH: 6 },
];
const stemZone = 1;
const spoutFreezesC = -1;
const weepGPerH = 6;

type Zone = { shape: ZoneShape; enthalpyK: number; storeG: number };

export function createFreezeTree(settings: TreeSettings): Tree {
  const random = createRandom(subSeed(settings.seed, "freeze-tree"));
  const sunExposure = 0.4 + 1.2 * random.uniform();
  const recharge = 1.2 + random.uniform();
  const fullG = settings.vigourL * sapGPerL * tapFactor(settings.taps);
  const day = createDayFactor(random);
  const flutter = createWander(random, { tauH: 0.5, sd: 0.06 });
  const zones = zoneShapes.map((shape): Zone => ({ shape, enthalpyK: 0, storeG: 0 }));
  return {
    step(step) {
      const dayFullG = fullG * day(step);
      const sunK = sunExposure * step.weather.solarWM2;
      let drainedG = 0;
      for (const zone of zones) {
        const thawed = warm(zone, step, sunK);
        if (thawed.change < 0) {
          const missingG = dayFullG * zone.shape.share - zone.storeG;
          zone.storeG += Math.max(0, missingG) * (1 - Math.exp(recharge * thawed.change));
        }
        drainedG += drain(zone, thawed.fraction * thawed.fraction * spoutOpen(step), step.stepH);
      }
      const stemC = woodC(zones[stemZone]);
      const warmth = Math.max(0, 1 + 0.03 * stemC) * (1 + flutter.step(step.stepH));
      const flowGPerH = (drainedG / step.stepH) * warmth * tapHoleShare(step.seasonDay);
      const weepingGPerH = stemC > 1.5 ? weepGPerH : 0;
      return Math.min(Math.max(0, flowGPerH) + weepingGPerH, tapCeilingGPerH * settings.taps);
    },
  };
}

function woodC(zone: Zone | undefined): number {
  if (zone === undefined) return 0;
  return Math.min(zone.enthalpyK, 0) + Math.max(0, zone.enthalpyK - zone.shape.latentK);
}

/** Heats one zone for a step; the fraction that is thawed, and how much that changed. */
function warm(zone: Zone, { weather, stepH }: TreeStep, sunK: number) {
  const { latentK, tauH, sunKPerWM2 } = zone.shape;
  const before = clamp(zone.enthalpyK / latentK, 0, 1);
  const driveK = weather.airC + sunKPerWM2 * sunK - woodC(zone);
  const enthalpyK = zone.enthalpyK + driveK * Math.min(1, stepH / tauH);
  zone.enthalpyK = clamp(enthalpyK, -12, latentK + 12);
  const fraction = clamp(zone.enthalpyK / latentK, 0, 1);
  return { fraction, change: fraction - before };
}

function drain(zone: Zone, open: number, stepH: number): number {
  const drainedG = zone.storeG * (1 - Math.exp((-open * stepH) / zone.shape.drainH));
  zone.storeG -= drainedG;
  return drainedG;
}

/** The spout and the tap hole freeze before the wood does: 0 shut, 1 open. */
function spoutOpen({ weather }: TreeStep): number {
  const spoutC = weather.airC + 0.8 * 0.0045 * weather.solarWM2;
  return clamp((spoutC - spoutFreezesC) / 1.7, 0, 1);
}

/** Days differ: a factor that keeps 0.6 of its deviation from one midnight to the next. */
function createDayFactor(random: Random): (step: TreeStep) => number {
  let deviation = 0.35 * random.normal();
  let day = 0;
  return ({ seasonDay }) => {
    const today = Math.floor(seasonDay);
    if (today !== day) {
      day = today;
      deviation = 0.6 * deviation + 0.8 * 0.35 * random.normal();
    }
    return Math.exp(deviation);
  };
}

function clamp(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}
