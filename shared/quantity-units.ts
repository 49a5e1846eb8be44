// The units that people write behind a figure, and what each is in the first unit of its kind.
//
// Definitions: NIST SP 811 (2008), appendix B: inch 25.4 mm, US gallon 231 in3, pound 0.45359237 kg, inch of mercury
// 3386.389 Pa, cord 128 ft3. Fahrenheit: C = (F - 32) / 1.8.

export type UnitKind =
  | "length"
  | "area"
  | "volume"
  | "mass"
  | "temp"
  | "duration"
  | "pressure"
  | "share"
  | "angle"
  | "energy";

export type Unit = {
  kind: UnitKind;
  /** As it is shown; the first of `names` in lower case. */
  symbol: string;
  names: readonly string[];
  /** How much of the kind's base unit one of it is (m, m2, L, kg, C, min, Pa, %, degree). */
  factor: number;
  /** Subtracted before the factor: for degrees Fahrenheit. */
  offset?: number;
};

const inchM = 0.0254;
const gallonL = 3.785411784;
const poundKg = 0.45359237;
const mercuryInchPa = 3386.389;

function unit(kind: UnitKind, symbol: string, [factor, ...names]: [number, ...string[]]): Unit {
  return { kind, symbol, factor, names: [symbol.toLowerCase(), ...names] };
}

const table = {
  mm: unit("length", "mm", [0.001, "millimetre", "millimeter"]),
  cm: unit("length", "cm", [0.01, "centimetre", "centimeter"]),
  m: unit("length", "m", [1, "metre", "meter"]),
  in: unit("length", "in", [inchM, "inch", "inche", '"', "″", "”"]),
  ft: unit("length", "ft", [12 * inchM, "foot", "feet", "'", "′", "’"]),
  yd: unit("length", "yd", [36 * inchM, "yard"]),
  cm2: unit("area", "cm²", [0.0001, "sq cm"]),
  m2: unit("area", "m²", [1, "sq m"]),
  in2: unit("area", "sq in", [inchM ** 2, "in²", "square inch", "square inche"]),
  ft2: unit("area", "sq ft", [(12 * inchM) ** 2, "ft²", "square foot", "square feet"]),
  ml: unit("volume", "mL", [0.001, "cc", "millilitre", "milliliter"]),
  cl: unit("volume", "cL", [0.01]),
  dl: unit("volume", "dL", [0.1]),
  l: unit("volume", "L", [1, "litre", "liter"]),
  m3: unit("volume", "m³", [1000, "cubic metre", "cubic meter", "stere"]),
  flOz: unit("volume", "fl oz", [gallonL / 128, "floz", "fl. oz", "fl.oz", "oz", "fluid ounce"]),
  cup: unit("volume", "cup", [gallonL / 16]),
  pt: unit("volume", "pt", [gallonL / 8, "pint"]),
  qt: unit("volume", "qt", [gallonL / 4, "quart"]),
  gal: unit("volume", "gal", [gallonL, "gallon", "us gal"]),
  ft3: unit("volume", "cu ft", [(120 * inchM) ** 3, "ft³", "cubic foot", "cubic feet"]),
  cord: unit("volume", "cord", [128 * (120 * inchM) ** 3, "full cord"]),
  g: unit("mass", "g", [0.001, "gram", "gramme"]),
  kg: unit("mass", "kg", [1, "kilo", "kilogram", "kilogramme"]),
  oz: unit("mass", "oz", [poundKg / 16, "ounce"]),
  lb: unit("mass", "lb", [poundKg, "pound", "#"]),
  c: unit("temp", "°C", [1, "c", "cel", "celsius", "° c", "deg c", "degc"]),
  f: { ...unit("temp", "°F", [1 / 1.8, "f", "fahrenheit", "° f", "deg f", "degf"]), offset: 32 },
  s: unit("duration", "s", [1 / 60, "sec", "second"]),
  min: unit("duration", "min", [1, "minute"]),
  h: unit("duration", "h", [60, "hr", "hour"]),
  day: unit("duration", "d", [1440, "day"]),
  week: unit("duration", "wk", [10_080, "week"]),
  pa: unit("pressure", "Pa", [1, "pascal"]),
  hpa: unit("pressure", "hPa", [100, "mbar", "mb", "millibar"]),
  kpa: unit("pressure", "kPa", [1000]),
  inHg: unit("pressure", "inHg", [mercuryInchPa, "in hg", "inch hg", "inches hg", '"hg', "in. hg"]),
  mmHg: unit("pressure", "mmHg", [mercuryInchPa / 25.4, "mm hg", "torr"]),
  percent: unit("share", "%", [1, "percent", "per cent", "pct"]),
  brix: unit("share", "°Bx", [1, "brix", "bx", "° bx", "°brix", "° brix", "degrees brix", "%"]),
  kwh: unit("energy", "kWh", [1, "kilowatt hour"]),
  degree: unit("angle", "°", [1, "deg", "degree"]),
} as const satisfies Record<string, Unit>;

export type UnitKey = keyof typeof table;

export const quantityUnits: Readonly<Record<UnitKey, Unit>> = table;

/** The unit that a word names within a kind: "in", "in.", "inches"; undefined for none. */
export function unitNamed(word: string, kind: UnitKind): Unit | undefined {
  const bare = word.toLowerCase().replace(/\.$/, "");
  const singular = bare.length > 2 ? bare.replace(/s$/, "") : bare;
  return Object.values<Unit>(table).find(
    (known) =>
      known.kind === kind && (known.names.includes(bare) || known.names.includes(singular)),
  );
}

const kindWords: Record<UnitKind, string> = {
  length: "a length",
  area: "an area",
  volume: "a volume",
  mass: "a weight",
  temp: "a temperature",
  duration: "a span of time",
  pressure: "a pressure",
  share: "a share",
  angle: "an angle",
  energy: "an energy",
};

/** What kind of thing a unit's word speaks of, in plain words; undefined for a word that is no unit. */
export function kindWordsOf(word: string): string | undefined {
  const kinds = Object.keys(kindWords) as UnitKind[];
  const kind = kinds.find((known) => unitNamed(word, known) !== undefined);
  return kind === undefined ? undefined : kindWords[kind];
}
