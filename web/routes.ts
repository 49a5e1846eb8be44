// Which view the address names: everything after the # sign; and the ways that lead to each.

type Place = {
  view: string;
  words: string;
  /** What is there, in a few words. */
  about: string;
  /** Needed many times a day: always in sight. */
  daily: boolean;
};

/** The views that the navigation shows, in its order, daily ones first. A new view is one line here. */
export const places = [
  { view: "yard", words: "Pails", about: "what to do now", daily: true },
  { view: "round", words: "Round", about: "the walk to gather", daily: true },
  { view: "vessels", words: "Vessels", about: "where gathered sap waits", daily: false },
  { view: "alarms", words: "Alarms", about: "what is wrong", daily: true },
  { view: "boil", words: "Boil", about: "when to draw off, how long, bottling", daily: true },
  { view: "trees", words: "Trees", about: "girths, taps, when to tap", daily: false },
  { view: "compare", words: "Compare", about: "which tree runs best", daily: false },
  { view: "record", words: "Record", about: "how well the warnings did", daily: false },
  { view: "season", words: "Season", about: "its report, closing jobs, all data", daily: false },
  { view: "care", words: "Server", about: "disk, backups, clocks", daily: false },
  { view: "setup", words: "Set-up", about: "buckets, yard, notices", daily: false },
] as const satisfies readonly Place[];

/** Views of one thing, named by its id. */
const oneOf = ["bucket", "tree", "labels", "season"] as const;

export type Route =
  | { view: (typeof places)[number]["view"] }
  | { view: (typeof oneOf)[number]; id: string };

/** The view of a hash such as "#/bucket/gate"; anything unknown is the yard. */
export function routeFromHash(hash: string): Route {
  const [view, id] = hash.replace(/^#?\/?/, "").split("/");
  const one = oneOf.find((known) => known === view);
  if (one !== undefined && id !== undefined && id !== "") return { view: one, id };
  const place = places.find((known) => known.view === view);
  return { view: place?.view ?? "yard" };
}

export function hashFromRoute(route: Route): string {
  if ("id" in route) return `#/${route.view}/${route.id}`;
  return route.view === "yard" ? "#/" : `#/${route.view}`;
}
