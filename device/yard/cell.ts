// A simulated load cell: from the true weight to raw counts, with all that spoils them.
import type { Calibration } from "../scale/calibration.ts";
import { createRandom, subSeed } from "./random.ts";
import type { Weather } from "./weather.ts";

export type Cell = {
  /** Lets temperature, creep and zero move on. */
  step(weather: Weather, grossG: number, stepH: number): void;
  /** The bucket was taken off and hung back: it never hangs quite the same. */
  reseat(): void;
  /** The raw counts of one window; undefined when the window got lost. */
  window(weather: Weather, grossG: number): number[] | undefined;
};

const samplesPerWindow = 10;
const lossPerWindow = 0.003;
const spikePerWindow = 1e-4;
const spikePerSample = 8e-4;

export function createCell(settings: { seed: number; calibration: Calibration }): Cell {
  const random = createRandom(subSeed(settings.seed, "cell"));
  const { zeroCounts, countsPerG } = settings.calibration;
  const driftGPerK = 1.2 * random.normal();
  const lagH = (18 + 17 * random.uniform()) / 60;
  let cellC = 2;
  let creepG = 0;
  let seatG = 0;
  let walkG = 0;
  const spikeG = (chance: number) =>
    random.uniform() < chance ? 16_000 * (random.uniform() - 0.5) : 0;
  return {
    step(weather, grossG, stepH) {
      const feltC = weather.airC + 0.008 * weather.solarWM2;
      cellC += (1 - Math.exp(-stepH / lagH)) * (feltC - cellC);
      // 0.04 % of the load, approached with 20 minutes (OIML R60 class terms, from memory).
      creepG += (1 - Math.exp(-stepH * 3)) * (0.0004 * grossG - creepG);
      walkG += Math.sqrt(stepH) * random.normal();
      // A mount settles: without this pull the zero would wander off over a long run.
      walkG *= Math.exp(-stepH / 240);
    },
    reseat() {
      seatG = 0.7 * seatG + 5 * random.normal();
    },
    window(weather, grossG) {
      if (random.uniform() < lossPerWindow) return undefined;
      const sway = Math.hypot(3, 0.35 * weather.windMS * weather.windMS) * random.normal();
      const offG = driftGPerK * (cellC - 5) + creepG + seatG + walkG + spikeG(spikePerWindow);
      const middleG = grossG + offG + sway;
      return Array.from({ length: samplesPerWindow }, () => {
        const sampleG = middleG + 2 * random.normal() + spikeG(spikePerSample);
        return Math.round(zeroCounts + countsPerG * sampleG);
      });
    },
  };
}
