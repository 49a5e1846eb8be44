// How far back a curve looks.
import { msAtLocalTime } from "../../shared/local-time.ts";
import { msPerDay } from "../../shared/units.ts";
import type { YardView } from "../../shared/wire/api.ts";
import type { TimeSpan } from "./time-span.ts";

export type SpanName = "24h" | "3d" | "10d" | "season";

export const spanWords: Record<SpanName, string> = {
  "24h": "24 h",
  "3d": "3 days",
  "10d": "10 days",
  season: "Season",
};
export const spanNames: readonly SpanName[] = ["24h", "3d", "10d", "season"];

const spanDays = { "24h": 1, "3d": 3, "10d": 10 } as const;
const unknownSeasonDays = 60;

/** The span that ends now; a season starts with its calendar year's first reading, and shows no less than a day. */
export function spanOf(
  name: SpanName,
  at: { nowMs: number; season: YardView["season"]; timeZone: string },
): TimeSpan {
  const toMs = at.nowMs;
  if (name !== "season") return { fromMs: toMs - spanDays[name] * msPerDay, toMs };
  const firstMs = at.season.firstReadingMs ?? toMs - unknownSeasonDays * msPerDay;
  const yearMs = msAtLocalTime(`${at.season.year}-01-01`, "00:00", at.timeZone);
  return { fromMs: Math.min(Math.max(firstMs, yearMs), toMs - msPerDay), toMs };
}
