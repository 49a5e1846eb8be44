// What speaks for the season's end.
import { seasonHintsSchema } from "../../shared/wire/season-hints.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";

export function seasonRoutes({ watch }: Pick<HttpParts, "watch">): Route[] {
  return [
    route({
      method: "get",
      path: "/season/hints",
      summary: "Hints of the season's end, each with its reason and how sure it is",
      answer: seasonHintsSchema,
      handle: () => watch.seasonHints(),
    }),
  ];
}
