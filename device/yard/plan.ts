// The simulated yard as it was set up: which tree, which bucket, which cell of which board.

export type PlannedBucket = {
  board: string;
  cell: string;
  tree: string;
  species: string;
  girthCm: number;
  taps: number;
  capacityL: number;
  emptyKg: number;
};

export type SimulatedBucket = PlannedBucket & {
  /** Sap that one tap gives after a full freeze, in litres; the people of the yard don't know it. */
  vigourL: number;
  /** Which kind of simulated tree it is: no one mechanism is all there is to maples. */
  kind: "freeze" | "bump";
};

const small = { capacityL: 7.6, emptyKg: 0.62 };
const middle = { capacityL: 11.4, emptyKg: 0.84 };
const large = { capacityL: 15.1, emptyKg: 1.05 };
const pail = { capacityL: 18.9, emptyKg: 1.18 };
const sugar = "sugar maple";

export const simulatedPlan: readonly SimulatedBucket[] = [
  bucket("hill/cell-1", { tree: "Gatepost", girthCm: 131, taps: 1, vigourL: 5.2 }, small),
  bucket("hill/cell-2", { tree: "Split Trunk", girthCm: 168, taps: 2, vigourL: 3.4 }, large),
  bucket("hill/cell-3", { tree: "Old Broad", girthCm: 214, taps: 2, vigourL: 4.8 }, pail),
  bucket("hill/cell-4", { tree: "Leaner", girthCm: 104, taps: 1, vigourL: 2.2 }, small),
  bucket(
    "hill/cell-5",
    { tree: "Woodpecker", girthCm: 142, taps: 1, vigourL: 3.7, kind: "bump" },
    middle,
  ),
  bucket("hill/cell-6", { tree: "Stone Wall", girthCm: 119, taps: 1, vigourL: 4.6 }, small),
  bucket("dell/cell-1", { tree: "Brookside", girthCm: 136, taps: 1, vigourL: 4.1 }, middle),
  bucket("dell/cell-2", { tree: "Twin East", girthCm: 110, taps: 1, vigourL: 3 }, small),
  bucket(
    "dell/cell-3",
    { tree: "Twin West", girthCm: 113, taps: 1, vigourL: 3.3, kind: "bump" },
    small,
  ),
  bucket("dell/cell-4", { tree: "Mossy Foot", girthCm: 188, taps: 2, vigourL: 3.1 }, pail),
  bucket("dell/cell-5", { tree: "Lightning", girthCm: 127, taps: 1, vigourL: 5.6 }, middle),
  {
    ...bucket("dell/cell-6", { tree: "Red Coat", girthCm: 122, taps: 1, vigourL: 2.5 }, small),
    species: "red maple",
  },
];

function bucket(
  at: string,
  tree: Pick<SimulatedBucket, "tree" | "girthCm" | "taps" | "vigourL"> &
    Partial<Pick<SimulatedBucket, "kind">>,
  size: { capacityL: number; emptyKg: number },
): SimulatedBucket {
  const [board = "", cell = ""] = at.split("/");
  return { board, cell, species: sugar, kind: "freeze", ...tree, ...size };
}

/** What the people of the yard know, as `--plan` prints it. */
export function publicPlan(): PlannedBucket[] {
  return simulatedPlan.map(({ vigourL: _, kind: __, ...known }) => known);
}
