// The cell of the accuracy yard, rougher than the demo's: drift, creep, wind, spikes, losses and outages.
import { createRandom, subSeed } from "../../../device/yard/random.ts";
import type { Weather } from "../../../device/yard/weather.ts";

export type Scale = {
  /** Lets temperature, creep and zero move on. */
  step(weather: Weather, grossG: number, stepH: number): void;
  reseat(): void;
  /** What the board sends, undefined when nothing came. */
  weigh(windMS: number, grossG: number): number | undefined;
};

export function createScale(seed: number): Scale {
  const random = createRandom(subSeed(seed, "scale"));
  const driftGPerK = 1.5 * random.normal();
  const lagH = (18 + 17 * random.uniform()) / 60;
  let cellC = 2;
  let creepG = 0;
  let walkG = 0;
  let seatG = 0;
  let outageH = 0;
  return {
    step(weather, grossG, stepH) {
      cellC += -Math.expm1(-stepH / lagH) * (weather.airC + 0.008 * weather.solarWM2 - cellC);
      creepG += -Math.expm1(-stepH * 3) * (0.0004 * grossG - creepG);
      walkG += Math.sqrt(stepH) * random.normal();
      outageH = Math.max(0, outageH - stepH);
      if (random.uniform() < stepH / 120) outageH = -0.5 * Math.log(1 - random.uniform());
    },
    reseat() {
      seatG += 6 * random.normal();
    },
    weigh(windMS, grossG) {
      if (outageH > 0 || random.uniform() < 0.015) return undefined;
      const spikeG = random.uniform() < 8e-4 ? 16_000 * (random.uniform() - 0.5) : 0;
      const noiseG = Math.hypot(5, 0.35 * windMS * windMS) * random.normal();
      const offG = driftGPerK * (cellC - 5) + creepG + walkG + seatG;
      return Math.round(10 * (grossG + offG + noiseG + spikeG)) / 10;
    },
  };
}
