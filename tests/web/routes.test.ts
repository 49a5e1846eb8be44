// Addresses of the views, there and back.
import { expect, it } from "vitest";
import { hashFromRoute, places, type Route, routeFromHash } from "../../web/routes.ts";

const routes: Route[] = [
  ...places.map(({ view }): Route => ({ view })),
  { view: "bucket", id: "north-wall" },
  { view: "labels", id: "7" },
  { view: "season", id: "2025" },
  { view: "tree", id: "gatepost" },
];

it.each(routes)("the address of $view leads back to it", (route) => {
  expect(routeFromHash(hashFromRoute(route))).toEqual(route);
});

it.each(["", "#", "#/", "#/nowhere", "#/bucket", "#/bucket/"])("%j leads to the yard", (hash) => {
  expect(routeFromHash(hash)).toEqual({ view: "yard" });
});
