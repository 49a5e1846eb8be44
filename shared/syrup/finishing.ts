// When to draw off: the temperature at which a boiling pan is syrup today, with how sure that is.
import { boilingRiseC, sapBoilingTempC } from "./activity.ts";
import { waterBoilingTempC } from "./water.ts";

export type Finishing = {
  waterBoilingTempC: number;
  riseC: number;
  finishingTempC: number;
  /** Brix by which the syrup is off for each C by which the thermometer is off. */
  brixPerC: number;
  /** C by which the finishing temperature moves for each hPa of the air's pressure. */
  cPerHpa: number;
};

const smallBrix = 0.05;
const paPerHpa = 100;

/**
 * Draw-off of syrup aimed at brix (1-91); pressurePa is the air's at the pan, 30.1 to 119.9 kPa, not reduced to
 * sea level. Starzak & Peacock 1997 over IAPWS-IF97. Throws RangeError outside.
 */
export function finishingFromPressure(aim: { brix: number; pressurePa: number }): Finishing {
  const { brix, pressurePa } = aim;
  const finishingTempC = sapBoilingTempC(aim);
  const thickerC = sapBoilingTempC({ brix: brix + smallBrix, pressurePa });
  const thinnerC = sapBoilingTempC({ brix: brix - smallBrix, pressurePa });
  const higherC = sapBoilingTempC({ brix, pressurePa: pressurePa + paPerHpa / 2 });
  const lowerC = sapBoilingTempC({ brix, pressurePa: pressurePa - paPerHpa / 2 });
  return {
    waterBoilingTempC: waterBoilingTempC(pressurePa),
    riseC: boilingRiseC(aim),
    finishingTempC,
    brixPerC: (2 * smallBrix) / (thickerC - thinnerC),
    cPerHpa: higherC - lowerC,
  };
}

/**
 * What a thermometer shows when the pan is ready: its own reading in boiling water (taken the same day at the
 * same place) plus the rise. readingInWaterC within 3 C of water's true boiling point; a thermometer further off
 * throws RangeError, it needs replacing rather than correcting.
 */
export function finishingOnThermometerC(aim: {
  brix: number;
  pressurePa: number;
  readingInWaterC: number;
}): number {
  const offsetC = aim.readingInWaterC - waterBoilingTempC(aim.pressurePa);
  if (!(Math.abs(offsetC) <= 3)) {
    throw new RangeError(
      `a thermometer requires a reading within 3 C of boiling water, got ${aim.readingInWaterC}`,
    );
  }
  return sapBoilingTempC(aim) + offsetC;
}
