// Whether the flow that was shown adds up to the sap that was carried away: told at each gathering.

/** From one gathering to the next: what was gathered, and the flow summed up over that time. */
export type Fill = { gatheredG: number; flowG: number; lowG: number; highG: number };

export type FillFigures = {
  count: number;
  /** Fills whose gathered mass lay within the summed interval. */
  within: number;
  /** Median of the distance between flow and gathered mass, as a share of the latter; null for none. */
  medianErrorShare: number | null;
};

/** A scale, a rest in the bucket and a drop in the snow are worth so much. */
const slackG = 100;

export function fillFigures(fills: readonly Fill[]): FillFigures {
  const errors = fills
    .map(({ gatheredG, flowG }) => Math.abs(flowG - gatheredG) / gatheredG)
    .sort((a, b) => a - b);
  const within = fills.filter(
    ({ gatheredG, lowG, highG }) => gatheredG >= lowG - slackG && gatheredG <= highG + slackG,
  );
  return {
    count: fills.length,
    within: within.length,
    medianErrorShare: errors[Math.floor((errors.length - 1) / 2)] ?? null,
  };
}
