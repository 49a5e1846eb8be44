// Alarms: the list, "seen", and a pause while a person is on the round.
import { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import { msPerDay, msPerMinute } from "../../shared/units.ts";
import { alarmViewSchema, pausePostSchema, spanQuerySchema } from "../../shared/wire/api.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";
import { numberFrom, spanFrom } from "./span.ts";

type Parts = Pick<HttpParts, "watch" | "alarms" | "clock">;

const pausedSchema = z.object({ pausedUntilMs: z.number().int().nullable() });

export function alarmRoutes(parts: Parts): Route[] {
  return [listRoute(parts), pauseRoute(parts), seenRoute(parts)];
}

function listRoute({ alarms, clock }: Parts): Route {
  return route({
    method: "get",
    path: "/alarms",
    summary: "Alarms that held in a span, newest first; without one, in the last seven days",
    query: spanQuerySchema,
    answer: z.array(alarmViewSchema),
    handle: ({ query }) => {
      const toMs = clock.nowMs() + 1;
      return alarms.list(spanFrom(query, { fromMs: toMs - 7 * msPerDay, toMs }));
    },
  });
}

function seenRoute({ alarms, watch }: Parts): Route {
  return route({
    method: "post",
    path: "/alarms/{id}/seen",
    summary: "A person has seen the alarm",
    answer: alarmViewSchema,
    handle: ({ id }) => {
      const number = numberFrom(id, "alarm");
      requireAlarm(number, alarms.find(number));
      watch.markSeen(number);
      const { noticed: _, ...view } = requireAlarm(number, alarms.find(number));
      return view;
    },
  });
}

function requireAlarm<T>(id: number, alarm: T | undefined): T {
  if (alarm !== undefined) return alarm;
  throw new AppError("not-found", `alarm requires one that exists, got ${id}`);
}

function pauseRoute({ watch, clock }: Parts): Route {
  return route({
    method: "post",
    path: "/alarms/pause",
    summary: "Hold all notices for some minutes; 0 ends the pause",
    body: pausePostSchema,
    answer: pausedSchema,
    handle: ({ body }) => {
      const untilMs =
        body.minutes === 0 ? undefined : Math.round(clock.nowMs() + body.minutes * msPerMinute);
      watch.pause(untilMs);
      return { pausedUntilMs: untilMs ?? null };
    },
  });
}
