// How well the warnings did so far in this yard.
import { recordSchema } from "../../shared/wire/record.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";

export function recordRoutes({ watch }: Pick<HttpParts, "watch">): Route[] {
  return [
    route({
      method: "get",
      path: "/record",
      summary:
        "How well the warnings did: useful, late, false and missed, chances told and what came",
      answer: recordSchema,
      handle: () => watch.record(),
    }),
  ];
}
