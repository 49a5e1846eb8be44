// A simulated maple of another kind: each frosty night earns one bump of sap, set off by the warmth of the day.
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

// An empirical shape, no physics: it tells a forecaster that knows trees from one that knows one model of them [own].
const frostScaleKH = 14;
const mostFrostKH = 60;
const leastFrostKH = 3;
const frostForgetH = 30;
const spoutFreezesC = -1.2;
const dayLogSd = 0.35;

type Bump = { volumeG: number; sinceH: number; riseH: number };

export function createBumpTree(settings: TreeSettings): Tree {
  const random = createRandom(subSeed(settings.seed, "bump-tree"));
  const onsetKH = 2 + 6 * random.uniform();
  const riseH = 1.6 + 1.4 * random.uniform();
  const sunKPerWM2 = 0.002 + 0.006 * random.uniform();
  const fullG = settings.vigourL * sapGPerL * tapFactor(settings.taps);
  const flutter = createWander(random, { tauH: 0.5, sd: 0.08 });
  let frostKH = 0;
  let warmthKH = 0;
  let bumps: Bump[] = [];

  function setOff(): void {
    const charge = 1 - Math.exp(-frostKH / frostScaleKH);
    const size = Math.exp(dayLogSd * random.normal());
    bumps.push({ volumeG: fullG * charge * size, sinceH: 0, riseH: riseH * spread(random) });
    frostKH = 0;
    warmthKH = 0;
  }

  return {
    step({ weather, stepH, seasonDay }: TreeStep) {
      const feltC = weather.airC + sunKPerWM2 * weather.solarWM2;
      const frost = Math.max(0, -feltC) * stepH;
      frostKH = Math.min(mostFrostKH, frostKH * Math.exp(-stepH / frostForgetH) + frost);
      // Frost undoes the warmth of the day before.
      warmthKH = frost > 0 ? Math.max(0, warmthKH - 2 * frost) : warmthKH + feltC * stepH;
      if (warmthKH > onsetKH && frostKH > leastFrostKH) setOff();
      const open = Math.min(1, Math.max(0, (feltC - spoutFreezesC) / 1.5));
      const flowGPerH = bumps.reduce((sum, bump) => sum + flowOf(bump, open, stepH), 0);
      bumps = bumps.filter(({ sinceH, riseH: rise }) => sinceH < 12 * rise);
      const lively = Math.max(0, 1 + flutter.step(stepH)) * tapHoleShare(seasonDay);
      return Math.min(flowGPerH * lively, tapCeilingGPerH * settings.taps);
    },
  };
}

/** Rises and falls as t exp(-t / rise); stands still while the tap is frozen. */
function flowOf(bump: Bump, open: number, stepH: number): number {
  bump.sinceH += open > 0 ? stepH : 0;
  const { riseH, sinceH, volumeG } = bump;
  return (open * volumeG * sinceH * Math.exp(-sinceH / riseH)) / (riseH * riseH);
}

function spread(random: Random): number {
  return Math.exp(0.2 * random.normal());
}
