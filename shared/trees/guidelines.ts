// How many taps a tree may carry, by each published guideline.

const cmPerInch = 2.54;

export const tapGuidelineKeys = ["careful", "late-second", "ontario", "older"] as const;
export type TapGuidelineKey = (typeof tapGuidelineKeys)[number];

export type TapGuideline = {
  key: TapGuidelineKey;
  /** Diameter from which the tree carries that many taps; an open step starts only above it. */
  steps: readonly { fromCm: number; taps: number; isOpen?: true }[];
  source: string;
};

function inches(lengthIn: number): number {
  return lengthIn * cmPerInch;
}

/** Sources disagree; the first is the default, and a person may choose another. */
export const tapGuidelines: readonly [TapGuideline, ...TapGuideline[]] = [
  {
    key: "careful",
    steps: [
      { fromCm: inches(12), taps: 1 },
      { fromCm: inches(18), taps: 2, isOpen: true },
    ],
    source: "North American Maple Syrup Producers Manual; M. Farrell, Northern Woodlands",
  },
  {
    key: "late-second",
    steps: [
      { fromCm: inches(12), taps: 1 },
      { fromCm: inches(20), taps: 2 },
    ],
    source: "A. Wild, Cornell, for the second tap; the first as in the careful guideline",
  },
  {
    key: "ontario",
    steps: [
      { fromCm: inches(12), taps: 1 },
      { fromCm: 60, taps: 2 },
    ],
    source:
      "Ontario, quoted second-hand, for the second tap; the first as in the careful guideline",
  },
  {
    key: "older",
    steps: [
      { fromCm: inches(10), taps: 1 },
      { fromCm: inches(15), taps: 2 },
      { fromCm: inches(20), taps: 3 },
      { fromCm: inches(25), taps: 4 },
    ],
    source: "North American Maple Syrup Producers Manual, older editions",
  },
];

export function guidelineOf(key: TapGuidelineKey): TapGuideline {
  return tapGuidelines.find((guideline) => guideline.key === key) ?? tapGuidelines[0];
}

// A hundredth of a millimetre, so that 18 inches told as centimetres stay 18 inches.
const roundingCm = 0.001;

/** Taps for a sound tree of diameterCm (0-500) under a guideline. Throws RangeError outside. */
export function tapsUnderGuideline(diameterCm: number, guideline: TapGuideline): number {
  if (!(diameterCm >= 0 && diameterCm <= 500)) {
    throw new RangeError(`diameter requires 0 to 500 cm, got ${diameterCm}`);
  }
  const reached = guideline.steps.filter(({ fromCm, isOpen }) =>
    isOpen ? diameterCm > fromCm + roundingCm : diameterCm >= fromCm - roundingCm,
  );
  return Math.max(0, ...reached.map((step) => step.taps));
}
