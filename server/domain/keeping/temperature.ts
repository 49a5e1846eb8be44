// How warm the sap in a bucket is and how much of it is ice: one lumped node that remembers its enthalpy.
import { sapFreezingPointC } from "../../../shared/sap/freezing.ts";

export const sapFreezesC = sapFreezingPointC(2);
/** Heat of 2 Brix sap and of its ice, J per gram and kelvin, and of melting, J per gram. */
const sapHeatJPerGK = 4.12;
const iceHeatJPerGK = 2.09;
const meltingJPerG = 327;

const bucketDiameterM = 0.25;
const sapGPerM3 = 1_008_000;
const baseAndLidM2 = 0.1;
/** Outside film in light wind under trees, W/m2K: 6 + 3.5 v at 0.6 m/s (own estimate, 5-18). */
const filmWPerM2K = 8;
/** Galvanised: absorbs 0.4 of what falls on 0.075 m2 (own estimate). */
const sunAreaM2 = 0.03;
const leastMassG = 50;
const secondsPerH = 3600;

export type SapNode = { tempC: number; iceFraction: number };

export type NodeStep = {
  /** Joules relative to all liquid at the freezing point. */
  enthalpyJ: number;
  massG: number;
  airC: number;
  /** Global irradiance on the bucket, W/m2; 0 when unknown. */
  sunWPerM2?: number;
  inflowGPerH: number;
  inflowC: number;
  dtH: number;
};

type Phase = { slopePerS: number; restJ: number };

/** Temperature and ice fraction (0-1) of massG of sap with this enthalpy. */
export function sapNode(enthalpyJ: number, massG: number): SapNode {
  const mass = Math.max(leastMassG, massG);
  const meltJ = mass * meltingJPerG;
  if (enthalpyJ >= 0) {
    return { tempC: sapFreezesC + enthalpyJ / (mass * sapHeatJPerGK), iceFraction: 0 };
  }
  if (enthalpyJ > -meltJ) {
    return { tempC: sapFreezesC, iceFraction: -enthalpyJ / meltJ };
  }
  return { tempC: sapFreezesC + (enthalpyJ + meltJ) / (mass * iceHeatJPerGK), iceFraction: 1 };
}

/** The enthalpy of massG of liquid sap at tempC; at or below the freezing point it is still liquid. */
export function enthalpyOfLiquidJ(tempC: number, massG: number): number {
  return Math.max(0, tempC - sapFreezesC) * Math.max(leastMassG, massG) * sapHeatJPerGK;
}

/** Heat that a bucket holding massG trades with the air, W/K. */
export function exchangeWPerK(massG: number): number {
  const baseM2 = (Math.PI * bucketDiameterM ** 2) / 4;
  const levelM = Math.max(leastMassG, massG) / (sapGPerM3 * baseM2);
  return filmWPerM2K * (baseAndLidM2 + Math.PI * bucketDiameterM * levelM);
}

/**
 * The enthalpy after dtH hours with air, sun, inflow and mass held: exact in each of liquid,
 * freezing and solid, cut where one becomes the next (enthalpy method after Voller 1981, from memory).
 */
export function stepEnthalpyJ(step: NodeStep): number {
  const massG = Math.max(leastMassG, step.massG);
  const exchange = exchangeWPerK(massG);
  const inflowW =
    (Math.max(0, step.inflowGPerH) * sapHeatJPerGK * (step.inflowC - sapFreezesC)) / secondsPerH;
  const sunW = sunAreaM2 * (step.sunWPerM2 ?? 0);
  const heatingW = exchange * (step.airC - sapFreezesC) + sunW + inflowW;
  let enthalpyJ = step.enthalpyJ;
  let leftS = step.dtH * secondsPerH;
  // Each bound can be crossed once only: the heating at the freezing point has one sign.
  for (let piece = 0; piece < 4 && leftS > 0; piece += 1) {
    const phase = phaseAt(enthalpyJ, { massG, exchange, heatingW });
    const boundJ = boundAhead(enthalpyJ, massG, heatingW);
    const untilS = boundJ === null ? leftS : Math.min(leftS, timeTo(boundJ, enthalpyJ, phase));
    const reached = boundJ !== null && untilS < leftS;
    enthalpyJ = reached ? boundJ : afterS(enthalpyJ, untilS, phase);
    leftS -= untilS;
  }
  return enthalpyJ;
}

/** d(H)/dt = -slope (H - rest); with slope 0, rest is the heating itself. */
function phaseAt(
  enthalpyJ: number,
  { massG, exchange, heatingW }: { massG: number; exchange: number; heatingW: number },
): Phase {
  const meltJ = massG * meltingJPerG;
  if (enthalpyJ > 0 || (enthalpyJ === 0 && heatingW >= 0)) {
    const slopePerS = exchange / (massG * sapHeatJPerGK);
    return { slopePerS, restJ: heatingW / slopePerS };
  }
  if (enthalpyJ < -meltJ || (enthalpyJ === -meltJ && heatingW < 0)) {
    const slopePerS = exchange / (massG * iceHeatJPerGK);
    return { slopePerS, restJ: heatingW / slopePerS - meltJ };
  }
  return { slopePerS: 0, restJ: heatingW };
}

/** The next enthalpy at which the phase changes, null when none lies ahead. */
function boundAhead(enthalpyJ: number, massG: number, heatingW: number): number | null {
  const solidJ = -massG * meltingJPerG;
  const bounds = heatingW < 0 ? [0, solidJ] : [solidJ, 0];
  const ahead = bounds.find((bound) => (heatingW < 0 ? bound < enthalpyJ : bound > enthalpyJ));
  return ahead ?? null;
}

function timeTo(boundJ: number, enthalpyJ: number, phase: Phase): number {
  if (phase.slopePerS === 0) {
    return phase.restJ === 0 ? Number.POSITIVE_INFINITY : (boundJ - enthalpyJ) / phase.restJ;
  }
  const share = (enthalpyJ - phase.restJ) / (boundJ - phase.restJ);
  return share > 1 ? Math.log(share) / phase.slopePerS : Number.POSITIVE_INFINITY;
}

function afterS(enthalpyJ: number, seconds: number, phase: Phase): number {
  if (phase.slopePerS === 0) {
    return enthalpyJ + phase.restJ * seconds;
  }
  return phase.restJ + (enthalpyJ - phase.restJ) * Math.exp(-phase.slopePerS * seconds);
}
