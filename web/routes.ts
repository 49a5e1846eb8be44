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
  { view: "alarms", words: "Alarms", about: "what is wrong", daily: true },
  { view: "compare", words: "Compare", about: "which tree runs best", daily: false },
  { view: "record", words: "Record", about: "how well the warnings did", daily: false },
  { view: "setup", words: "Set-up", about: "buckets, yard, notices", daily: false },
] as const satisfies readonly Place[];

export type Route = { view: (typeof places)[number]["view"] } | { view: "bucket"; id: string };

/** The view of a hash such as "#/bucket/gate"; anything unknown is the yard. */
export function routeFromHash(hash: string): Route {
  const [view, id] = hash.replace(/^#?\/?/, "").split("/");
  if (view === "bucket" && id !== undefined && id !== "") return { view, id };
  const place = places.find((known) => known.view === view);
  return { view: place?.view ?? "yard" };
}

export function hashFromRoute(route: Route): string {
  if ("id" in route) return `#/${route.view}/${route.id}`;
  return route.view === "yard" ? "#/" : `#/${route.view}`;
}
