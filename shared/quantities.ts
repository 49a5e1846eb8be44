// The quantities a person types: what unit each is kept in, what is plausible, and how it is shown.
import { quantityUnits, type Unit, type UnitKey } from "./quantity-units.ts";
import type { Units } from "./wire/api.ts";

export type Quantity = {
  /** In a sentence, with its article: "a girth". */
  name: string;
  /** The unit that the value is kept in; `least`, `most` and `usual` are in it. */
  kept: UnitKey;
  metric: UnitKey;
  us: UnitKey;
  least: number;
  most: number;
  /** Shown as an example of how to write it. */
  usual: number;
  /** Significant figures shown; 4 unless told. */
  figures?: number;
};

function quantity(
  name: string,
  [kept, metric, us]: [UnitKey, UnitKey, UnitKey],
  [least, usual, most]: [number, number, number],
): Quantity {
  return { name, kept, metric, us, least, most, usual };
}

const length = (kept: UnitKey): [UnitKey, UnitKey, UnitKey] => [kept, "cm", "in"];
const litres: [UnitKey, UnitKey, UnitKey] = ["l", "l", "gal"];
const temps: [UnitKey, UnitKey, UnitKey] = ["c", "c", "f"];
const brix: [UnitKey, UnitKey, UnitKey] = ["brix", "brix", "brix"];

/** Ranges are what a backyard can hold, wide enough for the odd giant; outside them it is a slip of the pen. */
export const quantities = {
  girthCm: quantity("a girth", length("cm"), [10, 145, 800]),
  diameterCm: quantity("a diameter", length("cm"), [3, 46, 255]),
  holeHeightCm: { ...quantity("a hole’s height", length("cm"), [10, 100, 300]), figures: 3 },
  aroundCm: { ...quantity("a way around the trunk", length("cm"), [0, 40, 800]), figures: 3 },
  bitMm: quantity("a bit", ["mm", "mm", "in"], [4, 7.9, 16]),
  holeDepthMm: quantity("a hole’s depth", ["mm", "mm", "in"], [10, 38, 90]),
  slopeDegrees: quantity("a slope", ["degree", "degree", "degree"], [0, 5, 30]),
  airTempC: quantity("an air temperature", temps, [-50, -4, 45]),
  woodTempC: quantity("the wood’s temperature", temps, [-40, 2, 35]),
  sapTempC: quantity("a sap temperature", temps, [-5, 4, 45]),
  panTempC: quantity("a pan’s temperature", temps, [60, 104, 130]),
  boilingWaterC: quantity("what a thermometer shows in boiling water", temps, [75, 100, 110]),
  capacityL: quantity("a bucket’s capacity", litres, [0.5, 12, 200]),
  emptyKg: quantity("an empty bucket’s weight", ["kg", "kg", "lb"], [0, 1, 30]),
  gatheredL: quantity("what was gathered", litres, [0, 6, 200]),
  vesselL: quantity("a vessel’s capacity", litres, [1, 100, 20_000]),
  sapL: quantity("a volume of sap", litres, [0, 40, 50_000]),
  syrupL: quantity("a volume of syrup", litres, [0, 1, 2000]),
  bottleL: quantity("a bottle’s size", ["l", "ml", "flOz"], [0.01, 0.25, 10]),
  loadKg: quantity("a load", ["kg", "kg", "lb"], [0.5, 20, 200]),
  iceKg: quantity("the ice thrown out", ["kg", "kg", "lb"], [0, 1, 100]),
  distanceM: quantity("a distance", ["m", "m", "ft"], [0, 20, 5000]),
  altitudeM: quantity("an altitude", ["m", "m", "ft"], [-450, 200, 6000]),
  latitude: quantity("a latitude", ["degree", "degree", "degree"], [-90, 44.5, 90]),
  longitude: quantity("a longitude", ["degree", "degree", "degree"], [-180, -73, 180]),
  pressurePa: {
    ...quantity("an air pressure", ["pa", "hpa", "inHg"], [50_000, 100_000, 110_000]),
    figures: 5,
  },
  sapBrix: quantity("the sugar of sap", brix, [0.1, 2, 30]),
  syrupBrix: quantity("the density of syrup", brix, [30, 66, 90]),
  sharePercent: quantity("a share", ["percent", "percent", "percent"], [0, 50, 100]),
  spanMin: quantity("a span of time", ["min", "min", "min"], [0, 90, 43_200]),
  spanH: quantity("a span of time", ["h", "h", "h"], [0, 4, 720]),
  syrupTempC: quantity("the syrup’s temperature", temps, [0, 86, 105]),
  hydrometerBrix: quantity("a hydrometer’s reading", brix, [0, 59, 75]),
  aimBrix: quantity("the density to aim for", brix, [50, 66.9, 70]),
  bottledBrix: quantity("the density of syrup", brix, [50, 66.9, 75]),
  lightPercent: quantity("the light let through", ["percent", "percent", "percent"], [0, 60, 100]),
  moisturePercent: quantity("the water in wood", ["percent", "percent", "percent"], [0, 20, 60]),
  holdUpL: quantity("what stays in pan and filter", litres, [0, 0.3, 20]),
  seaLevelPa: {
    ...quantity("a sea-level pressure", ["pa", "hpa", "inHg"], [90_000, 101_300, 108_500]),
    figures: 5,
  },
  fuelKg: quantity("the fuel put on", ["kg", "kg", "lb"], [0.01, 10, 5000]),
  energyKwh: quantity("the electricity used", ["kwh", "kwh", "kwh"], [0.01, 10, 5000]),
  /** One side of a pan: its area may be written as "18 in x 24 in". */
  sideM: quantity("a side", length("m"), [0.05, 0.6, 6]),
  panAreaM2: quantity("a pan’s area", ["m2", "m2", "ft2"], [0.01, 0.4, 20]),
  woodM3: quantity("a pile of wood", ["m3", "m3", "cord"], [0, 0.5, 200]),
} as const satisfies Record<string, Quantity>;

/** The unit of this browser for a quantity. */
export function shownUnit(of: Quantity, units: Units): Unit {
  return quantityUnits[units === "us" ? of.us : of.metric];
}

/** A value kept in one unit, told in another of its kind. */
export function convertedValue(value: number, from: Unit, to: Unit): number {
  const base = (value - (from.offset ?? 0)) * from.factor;
  return base / to.factor + (to.offset ?? 0);
}

/** The figure alone, as it stands in a field before its unit: "57.1". */
export function fieldFigure(value: number, of: Quantity, units: Units): string {
  const shown = convertedValue(value, quantityUnits[of.kept], shownUnit(of, units));
  const text = String(Number(shown.toPrecision(of.figures ?? 4)));
  return text === "-0" ? "0" : text;
}

/** The figure with its unit, which `parseQuantity` reads back: "57.1 in", "-4 °C". */
export function formatQuantity(value: number, of: Quantity, units: Units): string {
  const { symbol } = shownUnit(of, units);
  return `${fieldFigure(value, of, units)}${symbol === "°" ? "" : " "}${symbol}`;
}
