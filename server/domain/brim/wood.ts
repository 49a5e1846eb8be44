// One supposed tree: wood that charges with sap while it freezes and gives it to the tap while it thaws.
//
// One compartment with a latent plateau; structure after M. T. Tyree (1983), from memory, and
// I. Graf, M. Ceseri, J. M. Stockie, J. R. Soc. Interface 12 (2015); the equations are our own.
import type { Draws } from "./random.ts";

export type Wood = {
  /** Time in which the wood follows the air. */
  tauH: number;
  /** Latent heat of its water, in kelvin of sensible heat. */
  latentK: number;
  /** What sunlight adds to the air. */
  sunKPerWM2: number;
  /** Time in which thawed wood drains. */
  drainH: number;
  /** What a full freeze stores. */
  fullG: number;
  /** How soon freezing fills the store. */
  rechargeRate: number;
  /** Air temperature from which the tap is open. */
  spoutC: number;
  /** Enthalpy in kelvin of sensible heat: below 0 frozen, 0 to latentK thawing, above it thawed. */
  enthalpyK: number;
  storeG: number;
  /** Logarithm of how much more than fullG this freeze stores. */
  freezeLog: number;
};

export type WoodStep = { airC: number; sunWM2: number; stepH: number };

const coldestK = -12;
const warmestK = 12;
const spoutRangeK = 1.7;
const spoutSunShare = 0.8;
/** The spread of days alike in weather [own]; more than this told chances twice as bold as what came of them. */
const freezeLogSd = 0.35;
/** Flutter of the store in a quarter of an hour of running. */
const storeLogSd = 0.06;
const flutterPerH = 4;
const runningFraction = 0.01;

export function woodTempC({ enthalpyK, latentK }: Wood): number {
  return Math.min(enthalpyK, 0) + Math.max(0, enthalpyK - latentK);
}

/** 0 frozen, 1 thawed. */
export function thawedFraction({ enthalpyK, latentK }: Wood): number {
  return clamp(enthalpyK / latentK, 0, 1);
}

/** 0 while the tap is frozen shut, 1 when it is open. */
export function spoutOpen(wood: Wood, step: WoodStep): number {
  const spoutC = step.airC + spoutSunShare * wood.sunKPerWM2 * step.sunWM2;
  return clamp((spoutC - wood.spoutC) / spoutRangeK, 0, 1);
}

/** Lets the wood go through a step, changing it; the mean flow meanwhile in g/h. Without draws nothing is random. */
export function stepWood(wood: Wood, step: WoodStep, draws?: Draws): number {
  const { stepH } = step;
  const before = thawedFraction(wood);
  const driveK = step.airC + wood.sunKPerWM2 * step.sunWM2 - woodTempC(wood);
  const enthalpyK = wood.enthalpyK + driveK * Math.min(1, stepH / wood.tauH);
  wood.enthalpyK = clamp(enthalpyK, coldestK, wood.latentK + warmestK);
  const thawed = thawedFraction(wood);
  if (thawed < before) freeze(wood, before - thawed, draws);
  if (thawed < runningFraction || wood.storeG <= 0) return 0;
  return drain(wood, thawed * thawed * spoutOpen(wood, step), { stepH, draws });
}

function freeze(wood: Wood, frozen: number, draws: Draws | undefined): void {
  const targetG = wood.fullG * Math.exp(wood.freezeLog);
  wood.storeG += (targetG - wood.storeG) * (1 - Math.exp(-wood.rechargeRate * frozen));
  if (wood.enthalpyK <= 0 && draws !== undefined) wood.freezeLog = freezeLogSd * draws.normal();
}

function drain(
  wood: Wood,
  open: number,
  { stepH, draws }: { stepH: number; draws: Draws | undefined },
): number {
  if (open <= 0) return 0;
  const drainedG = wood.storeG * (1 - Math.exp((-open * stepH) / wood.drainH));
  wood.storeG -= drainedG;
  if (draws !== undefined) {
    const log = storeLogSd * Math.sqrt(stepH * flutterPerH) * draws.normal();
    // The exponential to second order: a fifth of all the time went into it.
    wood.storeG *= 1 + log * (1 + log / 2);
  }
  return drainedG / stepH;
}

function clamp(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}
