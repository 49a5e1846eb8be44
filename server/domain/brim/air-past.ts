// The air of the last ten days in half hours: what weather ahead is drawn from, and what tells the yard's noon.
import { msPerHour, msPerMinute } from "../../../shared/units.ts";

/** Whole tenths of a degree keep the JSON of ten days under 2.5 kB. */
export type AirPast = {
  /** Number of the first half hour since the epoch. */
  firstStep: number;
  /** Mean of each half hour in tenths of a degree; null when nothing was heard. */
  airDeciC: (number | null)[];
  /** Slots that the newest half hour is the mean of. */
  newestSlots: number;
};

export const airStepMs = 30 * msPerMinute;
export const airStepsPerDay = 48;
export const airPastDays = 10;
const mostSteps = airPastDays * airStepsPerDay;
/** The air's daily wave is highest about so long after the sun is (own estimate from hourly records). */
export const warmestAfterNoonH = 3.5;
const leastWaveC = 0.5;

export function startAirPast(): AirPast {
  return { firstStep: 0, airDeciC: [], newestSlots: 0 };
}

/** The past with one more ten-minute slot; older than the newest half hour it is left out. */
export function addToAirPast(past: AirPast, slot: { atMs: number; airC: number }): AirPast {
  const step = Math.floor((slot.atMs - 1) / airStepMs);
  const deciC = Math.round(slot.airC * 10);
  const ahead = step - (past.firstStep + past.airDeciC.length - 1);
  if (past.airDeciC.length === 0 || ahead >= mostSteps) {
    return { firstStep: step, airDeciC: [deciC], newestSlots: 1 };
  }
  if (ahead < 0) return past;
  if (ahead === 0) {
    const slots = past.newestSlots;
    const mean = ((past.airDeciC.at(-1) ?? deciC) * slots + deciC) / (slots + 1);
    return {
      ...past,
      airDeciC: [...past.airDeciC.slice(0, -1), Math.round(mean)],
      newestSlots: slots + 1,
    };
  }
  const all = [...past.airDeciC, ...new Array<null>(ahead - 1).fill(null), deciC];
  const tooMany = Math.max(0, all.length - mostSteps);
  return {
    firstStep: past.firstStep + tooMany,
    airDeciC: all.slice(tooMany),
    newestSlots: 1,
  };
}

/** Mean air temperature of the half hour with this number, null when unknown. */
export function airAtStep(past: AirPast, step: number): number | null {
  const deciC = past.airDeciC[step - past.firstStep] ?? null;
  return deciC === null ? null : deciC / 10;
}

const waves = Array.from({ length: airStepsPerDay }, (_, step) => {
  const angle = (2 * Math.PI * (step + 0.5)) / airStepsPerDay;
  return { cosine: Math.cos(angle), sine: Math.sin(angle) };
});

/**
 * UTC hour of the sun's highest stand, by the first harmonic of the air's whole days; null before
 * a day was heard or when the air knows no day.
 */
export function noonHourOf(past: AirPast): number | null {
  const length = past.airDeciC.length - (past.airDeciC.length % airStepsPerDay);
  if (length === 0) return null;
  const offset = past.airDeciC.length - length;
  let cosine = 0;
  let sine = 0;
  let last = past.airDeciC.find((deciC) => deciC !== null) ?? 0;
  for (let index = offset; index < past.airDeciC.length; index += 1) {
    last = past.airDeciC[index] ?? last;
    const wave = waves[(past.firstStep + index) % airStepsPerDay];
    cosine += (wave?.cosine ?? 0) * last;
    sine += (wave?.sine ?? 0) * last;
  }
  const amplitudeC = (2 * Math.hypot(cosine, sine)) / length / 10;
  if (amplitudeC < leastWaveC) return null;
  const warmestH = (Math.atan2(sine, cosine) / (2 * Math.PI)) * 24;
  return (warmestH - warmestAfterNoonH + 48) % 24;
}

// The sun at the equinox on 45 degrees north: sap runs within weeks of it where maples are tapped.
const latitudeRad = Math.PI / 4;
/** Half a sky of cloud: 1 - 0.75 c^3.4 (F. Kasten, G. Czeplak 1980, from memory). */
const cloudShare = 1 - 0.75 * 0.5 ** 3.4;

/** Sunlight on level ground in W/m2 under half a sky of cloud; clear sky by B. Haurwitz 1945, from memory. */
export function sunlightWM2(atMs: number, noonHour: number | null): number {
  if (noonHour === null) return 0;
  const hour = (atMs % (24 * msPerHour)) / msPerHour;
  const sinHeight = Math.cos(latitudeRad) * Math.cos(((hour - noonHour) / 12) * Math.PI);
  if (sinHeight <= 0) return 0;
  return 1098 * sinHeight * Math.exp(-0.057 / sinHeight) * cloudShare;
}
