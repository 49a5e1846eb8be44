// The cell of the accuracy yard, rougher than the demo's: drift, creep, wind, spikes, losses and outages.
import { createRandom, subSeed } from "../../../device/yard/random.ts";
import type { Weather } from "../../../device/yard/weather.ts";

export type Scale = {
  /** Lets temperature, creep and zero move on. */
  step(weather: Weather, grossG: number, stepH: number): void;
  reseat(): void;
  /** What the board sends, undefined when nothing came. */
  weigh(windMS: number, grossG: number): number | undefined;
  /** How far the last weight was thrown off by a spike. */
  spikeG(): number;
};

export function createScale(seed: number, { hasFaults }: { hasFaults: boolean }): Scale {
  const random = createRandom(subSeed(seed, "scale"));
  const faults = createFaults(seed);
  const driftGPerK = 1.5 * random.normal();
  const lagH = (18 + 17 * random.uniform()) / 60;
  let cellC = 2;
  let creepG = 0;
  let walkG = 0;
  let seatG = 0;
  let outageH = 0;
  let spikeG = 0;
  return {
    step(weather, grossG, stepH) {
      cellC += -Math.expm1(-stepH / lagH) * (weather.airC + 0.008 * weather.solarWM2 - cellC);
      creepG += -Math.expm1(-stepH * 3) * (0.0004 * grossG - creepG);
      walkG += Math.sqrt(stepH) * random.normal();
      outageH = Math.max(0, outageH - stepH);
      if (random.uniform() < stepH / 120) outageH = -0.5 * Math.log(1 - random.uniform());
      if (hasFaults) faults.step(stepH);
    },
    reseat() {
      seatG += 6 * random.normal();
    },
    spikeG: () => spikeG,
    weigh(windMS, grossG) {
      spikeG = 0;
      if (outageH > 0 || random.uniform() < 0.015) return undefined;
      spikeG = random.uniform() < 8e-4 ? 16_000 * (random.uniform() - 0.5) : 0;
      const noiseG = Math.hypot(5, 0.35 * windMS * windMS) * random.normal();
      const offG = driftGPerK * (cellC - 5) + creepG + walkG + seatG;
      return faults.said(Math.round(10 * (grossG + offG + noiseG + spikeG)) / 10);
    },
  };
}

/** Every ten days or so a cell says the same for a while, or runs into its end, of which the board sends no weight. */
function createFaults(seed: number) {
  const random = createRandom(subSeed(seed, "faults"));
  let leftH = 0;
  let kind: "stuck" | "saturated" = "stuck";
  let lastG = 0;
  return {
    step(stepH: number): void {
      leftH -= stepH;
      if (random.uniform() >= stepH / 120) return;
      kind = random.uniform() < 0.5 ? "stuck" : "saturated";
      leftH = 0.3;
    },
    said(massG: number): number | undefined {
      if (leftH > 0) return kind === "stuck" ? lastG : undefined;
      lastG = massG;
      return massG;
    },
  };
}
