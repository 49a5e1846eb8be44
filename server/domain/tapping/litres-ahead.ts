// How much each coming day may bring from one tap: supposed trees, or those that the yard's own have taught, under the
// outlook with what outlooks get wrong.
import { volumeLFromG } from "../../../shared/sap/density.ts";
import { msPerHour, msPerMinute } from "../../../shared/units.ts";
import { addToAirPast, airStepMs, startAirPast } from "../brim/air-past.ts";
import { uncalibrated } from "../brim/calibration.ts";
import { type BrimMemory, startBrimMemory } from "../brim/memory.ts";
import { startParticles } from "../brim/particles.ts";
import { createDraws, seedFrom } from "../brim/random.ts";
import { treesAhead } from "../brim/trees-ahead.ts";
import { type AirPoint, createAirAhead, startAirDay } from "../keeping/air-ahead.ts";
import type { ComingDay } from "./coming-days.ts";

/** What a bucket's tree has taught, and how many taps run into that bucket. */
export type TaughtTree = { memory: BrimMemory; taps: number };

export type LitresAheadInput = {
  /** Within the first day: sap is told from then on. */
  fromMs: number;
  /** In order of time, from then on. */
  outlook: readonly AirPoint[];
  days: readonly ComingDay[];
  trees: readonly TaughtTree[];
};

/** Litres of one tap on a day: the middle of what may be, and the ends of the middle four fifths. */
export type DayLitres = { lowL: number; middleL: number; highL: number };

const stepMs = 30 * msPerMinute;
const pastHours = 48;
const mostTrees = 12;

export type LitresAhead = {
  /** One entry a day; null for a day that the outlook doesn't reach to the evening of. */
  litres: (DayLitres | null)[];
  /** How many of the trees taught it. */
  taughtTrees: number;
};

/** The same input gives the same answer. */
export function litresAhead(input: LitresAheadInput): LitresAhead {
  const { fromMs: startMs, outlook, days, trees } = input;
  const airAheadC = createAirAhead(startAirDay(), outlook);
  const last = outlook.at(-1);
  if (airAheadC === null || last === undefined) {
    return { litres: days.map(() => null), taughtTrees: 0 };
  }
  const lenders = trees
    .filter(({ memory, taps }) => memory.learntSlots > 0 && taps > 0)
    .slice(0, mostTrees)
    .map(({ memory, taps }) => ({ memory, strength: 1 / taps }));
  const draws = createDraws(seedFrom("tapping", startMs));
  const steps = Math.max(1, Math.ceil((last.atMs - startMs) / stepMs));
  const members = treesAhead({
    fromMs: startMs,
    memory: newTree(startMs, airAheadC),
    lenders,
    outlook,
    flowNow: { meanGPerH: 0, sdGPerH: 0 },
    pathLogSd: uncalibrated.pathLogSd,
    airScale: uncalibrated.airScale,
    draws,
    stepMs,
    steps,
  });
  const stepAt = (atMs: number) => Math.round((atMs - startMs) / stepMs);
  const litres = days.map(({ fromMs, toMs }) => {
    // Sap stops on average by 20 h (Kurokawa et al. 2022): an outlook up to 21 h tells the day.
    if (last.atMs < toMs - 3 * msPerHour) return null;
    return spreadOf(members, Math.max(0, stepAt(fromMs)), Math.min(steps, stepAt(toMs)));
  });
  return { litres, taughtTrees: lenders.length };
}

/** A tree that nothing is known of, in air like that of the outlook's first two days. */
function newTree(nowMs: number, airAheadC: (atMs: number) => number): BrimMemory {
  const airC = airAheadC(nowMs);
  const draws = createDraws(seedFrom("new tree", nowMs));
  let air = startAirPast();
  for (let agoMs = pastHours * msPerHour; agoMs > 0; agoMs -= airStepMs) {
    const atMs = nowMs - agoMs;
    air = addToAirPast(air, { atMs, airC: airAheadC(atMs + pastHours * msPerHour) });
  }
  const trees = startParticles(airC, draws);
  return { ...startBrimMemory(), atMs: nowMs, airC, air, trees };
}

function spreadOf(members: readonly Float64Array[], from: number, to: number): DayLitres {
  const valuesG = Float64Array.from(members, (member) => (member[to] ?? 0) - (member[from] ?? 0));
  valuesG.sort();
  const at = (share: number) => {
    const volumeL = volumeLFromG(valuesG[Math.floor(share * valuesG.length)] ?? 0);
    return Math.round(volumeL * 10) / 10;
  };
  return { lowL: at(0.1), middleL: at(0.5), highL: at(0.9) };
}
