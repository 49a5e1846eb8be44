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

type Ground = { places: readonly SketchPlace[]; paced: readonly PacedLeg[] };

/**
 * A paced leg holds as it is; else the straight line of the sketch, else the shortest way along
 * paced legs and straight lines; what none of them reaches is guessed. Places that were only laid
 * out in rows, and that nobody has put where they stand, are good for a guess alone.
 */
export function distancesBetween(
  asked: readonly string[],
  { laidOut = [], ...ground }: Ground & { laidOut?: readonly string[] },
): Distances {
  const drawn = waysOver(asked, ground);
  const placed = ground.places.filter(({ place }) => !laidOut.includes(place));
  const sure = waysOver(asked, { ...ground, places: placed });
  const distanceM = asked.map((from, a) =>
    asked.map((to, b) => {
      const metres = [sure(from, to), drawn(from, to)].find(Number.isFinite);
      return metres ?? (a === b ? 0 : guessedM);
    }),
  );
  const isKnown = asked.map((from) => asked.map((to) => Number.isFinite(sure(from, to))));
  return { distanceM, isKnown };
}

/** The way between two places in metres; infinite where nothing leads from one to the other. */
function waysOver(asked: readonly string[], { places, paced }: Ground) {
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
  return (from: string, to: string): number =>
    direct[index(from)]?.[index(to)] ?? ways[index(from)]?.[index(to)] ?? Number.POSITIVE_INFINITY;
}

function pacedPlaces(paced: readonly PacedLeg[]): string[] {
  return paced.flatMap(({ fromPlace, toPlace }) => [fromPlace, toPlace]);
}

function directM(from: string, to: string, { places, paced }: Ground): number | null {
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
