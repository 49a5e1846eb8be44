// The hourly outlook, in and out as SenML.
import { z } from "zod";
import { msPerDay, msPerHour } from "../../shared/units.ts";
import { spanQuerySchema } from "../../shared/wire/api.ts";
import { parseForecast } from "../../shared/wire/forecast.ts";
import { comingRunsSchema } from "../../shared/wire/tapping.ts";
import type { ForecastHour } from "../db/forecast.ts";
import type { HttpParts } from "./parts.ts";
import { HttpProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";
import { spanFrom } from "./span.ts";

type Parts = Pick<HttpParts, "forecast" | "clock" | "watch">;

const acceptedSchema = z.object({
  stored: z.number().int(),
  refused: z.array(z.object({ record: z.string(), reason: z.string() })),
});

const senmlSchema = z.array(
  z.object({ n: z.string(), u: z.string(), t: z.number(), v: z.number() }),
);

export function forecastRoutes(parts: Parts): Route[] {
  return [getRoute(parts), postRoute(parts), daysRoute(parts)];
}

function getRoute({ forecast, clock }: Parts): Route {
  return route({
    method: "get",
    path: "/forecast",
    summary: "The outlook as a SenML pack; without a span, from this hour on",
    query: spanQuerySchema,
    answer: senmlSchema,
    answerType: "application/senml+json",
    handle: ({ query }) => {
      const fromMs = clock.nowMs() - msPerHour;
      const span = spanFrom(query, { fromMs, toMs: fromMs + 18 * msPerDay });
      return forecast.list(span).flatMap(recordsFrom);
    },
  });
}

function recordsFrom({ atMs, airC, cloudPercent }: ForecastHour) {
  const t = atMs / 1000;
  const air = airC === null ? [] : [{ n: "forecast/air", u: "Cel", t, v: airC }];
  return cloudPercent === null
    ? air
    : [...air, { n: "forecast/cloud", u: "%", t, v: cloudPercent }];
}

function daysRoute({ watch }: Pick<Parts, "watch">): Route {
  return route({
    method: "get",
    path: "/forecast/days",
    summary: "Freeze and thaw of the days ahead, the sap they may bring, and when to tap",
    answer: comingRunsSchema,
    handle: () => watch.comingRuns(),
  });
}

function postRoute({ forecast, clock, watch }: Parts): Route {
  return route({
    method: "post",
    path: "/forecast",
    summary: "Store an outlook: SenML, forecast/air in Cel and forecast/cloud in %, hourly",
    body: z.string(),
    bodyType: "senml",
    answer: acceptedSchema,
    handle: ({ body }) => {
      const outlook = parseForecast(body, { nowMs: clock.nowMs() });
      if (!outlook.ok) throw new HttpProblem(422, outlook.problem);
      const { hours, refusals } = outlook.value;
      forecast.put(
        hours.map(({ atMs, airC = null, cloudPercent = null }) => ({ atMs, airC, cloudPercent })),
      );
      if (hours.length > 0) watch.outlookChanged();
      return { stored: hours.length, refused: refusals };
    },
  });
}
