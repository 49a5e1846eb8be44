// Which view the address names: everything after the # sign.

export type Route =
  | { view: "yard" }
  | { view: "bucket"; id: string }
  | { view: "compare" }
  | { view: "alarms" }
  | { view: "setup" };

/** The view of a hash such as "#/bucket/gate"; anything unknown is the yard. */
export function routeFromHash(hash: string): Route {
  const [view, id] = hash.replace(/^#?\/?/, "").split("/");
  if (view === "bucket" && id !== undefined && id !== "") return { view, id };
  if (view === "compare" || view === "alarms" || view === "setup") return { view };
  return { view: "yard" };
}

export function hashFromRoute(route: Route): string {
  if (route.view === "yard") return "#/";
  return route.view === "bucket" ? `#/bucket/${route.id}` : `#/${route.view}`;
}
