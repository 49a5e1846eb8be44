// The yard: all that the first screen shows, and what people set about it.
import { isTimeZone } from "../../shared/local-time.ts";
import { yardPatchSchema, yardViewSchema } from "../../shared/wire/api.ts";
import { changedBy } from "../db/changed-by.ts";
import type { HttpParts } from "./parts.ts";
import { fieldProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";

export function yardRoutes({ watch, settings }: Pick<HttpParts, "watch" | "settings">): Route[] {
  return [
    route({
      method: "get",
      path: "/yard",
      summary: "All that the first screen shows, at one instant",
      answer: yardViewSchema,
      handle: () => watch.yardView(),
    }),
    route({
      method: "patch",
      path: "/yard",
      summary: "Set the yard's name, place, units, visit times, quiet hours",
      body: yardPatchSchema,
      answer: yardViewSchema,
      handle: ({ body }) => {
        requireTimeZone(body.timeZone);
        settings.setYard(changedBy(settings.yard(), body));
        watch.recordsChanged();
        return watch.yardView();
      },
    }),
  ];
}

function requireTimeZone(name: string | null | undefined): void {
  if (name === undefined || name === null || isTimeZone(name)) return;
  const expected = "the name of a time zone, such as America/Toronto";
  throw fieldProblem("timeZone", expected, name);
}
