// How dense syrup must be where it is sold.

export type DensityLaw = {
  key: string;
  name: string;
  lowestBrix: number;
  /** Densest that may be sold. Well above 67 syrup may crystallise: sucrose dissolves to 66.3 % at 15 C, 67.1 at 20. */
  highestBrix: number;
  source: string;
};

/** Percent of sugar by mass at 20 C. The first is the default. A person's own aim needs no law. */
export const densityLaws: readonly DensityLaw[] = [
  {
    key: "usda",
    name: "United States",
    lowestBrix: 66,
    highestBrix: 68.9,
    source: "USDA, United States Standards for Grades of Maple Syrup (2015)",
  },
  {
    key: "canada",
    name: "Canada",
    lowestBrix: 66,
    highestBrix: 68.9,
    source: "Canada's grade standards for maple syrup",
  },
  {
    key: "new-york",
    name: "New York",
    lowestBrix: 66,
    highestBrix: 68.9,
    source: "New York State's rules for maple syrup",
  },
  {
    key: "vermont",
    name: "Vermont",
    lowestBrix: 66.9,
    highestBrix: 68.9,
    source: "Vermont's rules for maple syrup",
  },
  {
    key: "maine",
    name: "Maine",
    lowestBrix: 66,
    highestBrix: 69,
    source: "Maine's rules for maple syrup",
  },
];

/** Whether syrup of brix at 20 C is "thin", "right" or "thick" under a law; both limits are right. RangeError outside 0-100. */
export function densityVerdict(brix: number, law: DensityLaw): "thin" | "right" | "thick" {
  if (!(brix >= 0 && brix <= 100)) {
    throw new RangeError(`a verdict requires 0 to 100 Brix, got ${brix}`);
  }
  if (brix < law.lowestBrix) return "thin";
  return brix > law.highestBrix ? "thick" : "right";
}
