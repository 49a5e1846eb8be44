// Fuel for a boil: wood by species and moisture, propane, electricity.

/**
 * Share of the fuel's heat that goes into the sap. Wood: 0.25 an open fire or backyard arch, 0.35 a good arch, 0.5 a
 * gasifying one (common practice; L. Ober, Ohio State Univ. Extension, gives 0.4-0.6 for open evaporators). Gas and
 * electricity: common practice, no source.
 */
export const usualEfficiency = {
  openFire: 0.25,
  goodArch: 0.35,
  gasifyingArch: 0.5,
  propane: 0.45,
  electricity: 0.85,
} as const;

// Lower heating value of propane, 46.4 MJ/kg; liquid 0.51 kg/L at 15 C (from memory).
const propaneMjPerKg = 46.4;
const propaneKgPerL = 0.51;
const mjPerKwh = 3.6;

// Oven-dry wood gives 18.5 MJ/kg (lower value, usual for hardwood and softwood alike); its water takes 2.44 MJ/kg.
const dryWoodMjPerKg = 18.5;
const woodWaterMjPerKg = 2.44;
const wettestWood = 0.6;

/** A full US cord, 128 cubic feet, stacked. */
export const stackedM3PerCord = 3.6246;
/** Wood in a stack; the rest is air. 0.6-0.7 is common practice for split wood. */
const solidShareOfStack = 0.65;

/**
 * Oven-dry kg in a solid m3 of green wood. Basic specific gravities of the U.S. Forest Products Laboratory's "Wood
 * Handbook", from memory.
 */
export const woodSpecies = {
  sugarMaple: 560,
  redMaple: 490,
  redOak: 560,
  whiteOak: 600,
  beech: 560,
  yellowBirch: 550,
  whiteAsh: 550,
  aspen: 360,
  whitePine: 340,
  hemlock: 380,
} as const;

export type WoodSpecies = keyof typeof woodSpecies;

function requireHeat(energyMj: number, efficiency: number): number {
  if (!(energyMj >= 0 && Number.isFinite(energyMj))) {
    throw new RangeError(`a fire requires 0 MJ or more, got ${energyMj}`);
  }
  if (!(efficiency > 0 && efficiency <= 1)) {
    throw new RangeError(`efficiency requires more than 0 and at most 1, got ${efficiency}`);
  }
  return energyMj / efficiency;
}

function requireMoisture(moistureFraction: number): void {
  if (!(moistureFraction >= 0 && moistureFraction <= wettestWood)) {
    throw new RangeError(
      `wood requires a moisture of 0 to ${wettestWood}, got ${moistureFraction}`,
    );
  }
}

/**
 * Heat of wood, MJ/kg as fired. moistureFraction is water by mass of the wet wood, 0-0.6: 0.2 seasoned, 0.45 green.
 * A moisture meter shows water by dry mass: wet = dry/(1 + dry). Throws RangeError outside.
 */
export function woodHeatMjPerKg(moistureFraction: number): number {
  requireMoisture(moistureFraction);
  return dryWoodMjPerKg * (1 - moistureFraction) - woodWaterMjPerKg * moistureFraction;
}

/** Wood as fired in one m3 of a stack, kg. Throws RangeError as woodHeatMjPerKg. */
export function stackedWoodKgPerM3(wood: {
  species: WoodSpecies;
  moistureFraction: number;
}): number {
  requireMoisture(wood.moistureFraction);
  return (woodSpecies[wood.species] * solidShareOfStack) / (1 - wood.moistureFraction);
}

/** Wood for energyMj of heat in the sap: kg as fired, m3 of stack. Throws RangeError outside the ranges above. */
export function woodForBoil(fire: {
  energyMj: number;
  efficiency: number;
  species: WoodSpecies;
  moistureFraction: number;
}): { woodKg: number; stackedM3: number } {
  const woodKg =
    requireHeat(fire.energyMj, fire.efficiency) / woodHeatMjPerKg(fire.moistureFraction);
  return { woodKg, stackedM3: woodKg / stackedWoodKgPerM3(fire) };
}

/** Propane for energyMj of heat in the sap. Throws RangeError for heat below 0 or efficiency outside 0-1. */
export function propaneForBoil(fire: { energyMj: number; efficiency: number }): {
  propaneKg: number;
  propaneVolumeL: number;
} {
  const propaneKg = requireHeat(fire.energyMj, fire.efficiency) / propaneMjPerKg;
  return { propaneKg, propaneVolumeL: propaneKg / propaneKgPerL };
}

/** Electricity in kWh for energyMj of heat in the sap. Throws RangeError as propaneForBoil. */
export function electricityKwhForBoil(heater: { energyMj: number; efficiency: number }): number {
  return requireHeat(heater.energyMj, heater.efficiency) / mjPerKwh;
}

export type FuelKind = "wood" | "propane" | "electricity";
export type Arch = "openFire" | "goodArch" | "gasifyingArch";

/** Heat in amount (0 or more) of a fuel: kg of wood as fired, kg of propane, or kWh. RangeError as woodHeatMjPerKg. */
export function fuelHeatMj(fire: {
  fuel: FuelKind;
  amount: number;
  moistureFraction: number;
}): number {
  if (fire.fuel === "electricity") return fire.amount * mjPerKwh;
  const mjPerKg = fire.fuel === "wood" ? woodHeatMjPerKg(fire.moistureFraction) : propaneMjPerKg;
  return fire.amount * mjPerKg;
}

/** The usual efficiency of a fuel, wood by the kind of fireplace. */
export function usualEfficiencyOf(fire: { fuel: FuelKind; arch: Arch }): number {
  return fire.fuel === "wood" ? usualEfficiency[fire.arch] : usualEfficiency[fire.fuel];
}
