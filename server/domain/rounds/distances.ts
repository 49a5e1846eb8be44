// How far it is between places of the yard: as paced, else as drawn on the sketch, else guessed.

export const homePlace = "home";
export const placeOfTree = (treeId: string) => `tree/${treeId}`;

export type SketchPlace = { place: string; xM: number; yM: number };
export type PacedLeg = { fromPlace: string; toPlace: string; distanceM: number };

export type Distances = {
  /** Metres between each two of the places asked for. */
  distanceM: number[][];
  /** Whether each was paced or drawn; else it is a guess. */
  isKnown: boolean[][];
};

/** Between trees of a backyard that nobody paced (own estimate). */
export const guessedM = 25;

/**
 * A paced leg holds as it is; else the straight line of the sketch, else the shortest way along
 * paced legs and straight lines; what none of them reaches is guessed.
 */
export function distancesBetween(
  asked: readonly string[],
  { places, paced }: { places: readonly SketchPlace[]; paced: readonly PacedLeg[] },
): Distances {
  const all = [...new Set([...asked, ...places.map(({ place }) => place), ...pacedPlaces(paced)])];
  const direct = all.map((from) =>
    all.map((to) => (from === to ? 0 : directM(from, to, { places, paced }))),
  );
  const ways = direct.map((row) => row.map((metres) => metres ?? Number.POSITIVE_INFINITY));
  // Floyd and Warshall: the shortest way over every place in turn.
  all.forEach((_, over) => {
    ways.forEach((row) => {
      row.forEach((metres, to) => {
        const detourM = (row[over] ?? 0) + (ways[over]?.[to] ?? 0);
        if (detourM < metres) row[to] = detourM;
      });
    });
  });
  const index = (place: string) => all.indexOf(place);
  const wayM = (from: string, to: string) =>
    direct[index(from)]?.[index(to)] ?? ways[index(from)]?.[index(to)] ?? Number.POSITIVE_INFINITY;
  const distanceM = asked.map((from, a) =>
    asked.map((to, b) => {
      const metres = wayM(from, to);
      if (Number.isFinite(metres)) return metres;
      return a === b ? 0 : guessedM;
    }),
  );
  const isKnown = asked.map((from) => asked.map((to) => Number.isFinite(wayM(from, to))));
  return { distanceM, isKnown };
}

function pacedPlaces(paced: readonly PacedLeg[]): string[] {
  return paced.flatMap(({ fromPlace, toPlace }) => [fromPlace, toPlace]);
}

function directM(
  from: string,
  to: string,
  { places, paced }: { places: readonly SketchPlace[]; paced: readonly PacedLeg[] },
): number | null {
  const leg = paced.find(
    ({ fromPlace, toPlace }) =>
      (fromPlace === from && toPlace === to) || (fromPlace === to && toPlace === from),
  );
  if (leg !== undefined) return leg.distanceM;
  const a = places.find(({ place }) => place === from);
  const b = places.find(({ place }) => place === to);
  return a === undefined || b === undefined ? null : Math.hypot(a.xM - b.xM, a.yM - b.yM);
}

/** The sketch drawn larger or smaller, so that one paced distance holds; undefined when it can't be. */
export function scaledPlaces(
  places: readonly SketchPlace[],
  { fromPlace, toPlace, distanceM }: PacedLeg,
): SketchPlace[] | undefined {
  const drawnM = directM(fromPlace, toPlace, { places, paced: [] });
  if (drawnM === null || drawnM === 0 || distanceM <= 0) return undefined;
  const factor = distanceM / drawnM;
  return places.map(({ place, xM, yM }) => ({ place, xM: xM * factor, yM: yM * factor }));
}
