// Seasons: which there are, closing one, its jobs, and its report.
import { z } from "zod";
import { AppError } from "../../shared/errors.ts";
import { msAtLocalTime } from "../../shared/local-time.ts";
import { closingJobs } from "../../shared/people/closing-jobs.ts";
import {
  type Season,
  seasonPatchSchema,
  seasonReportSchema,
  seasonSchema,
} from "../../shared/wire/seasons.ts";
import { requireOpenSeason, yearOf } from "./closed.ts";
import { zoneNow } from "./kitchen.ts";
import { fieldProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";
import { type ReportParts, reportOf } from "./season-report.ts";

export function closingRoutes(parts: ReportParts): Route[] {
  return [
    route({
      method: "get",
      path: "/seasons",
      summary: "Every season of which something is on record, the present one among them",
      answer: z.array(seasonSchema),
      handle: () => yearsOf(parts).map((year) => seasonOf(parts, year)),
    }),
    route({
      method: "patch",
      path: "/seasons/{id}",
      summary: "Close a season or open it again, tick its closing jobs, write its note",
      body: seasonPatchSchema,
      answer: seasonSchema,
      handle: ({ id, body }) => change(parts, yearFrom(id), body),
    }),
    route({
      method: "get",
      path: "/seasons/{id}/report",
      summary: "What a season brought, by tree and tap, against the year before",
      answer: seasonReportSchema,
      handle: ({ id }) => reportOf(parts, spanOf(parts, yearFrom(id))),
    }),
  ];
}

/** Throws AppError "not-found" for what is no year. */
function yearFrom(id: string): number {
  if (/^(19[7-9]\d|[2-9]\d{3})$/.test(id)) return Number(id);
  throw new AppError("not-found", `season requires a year, got ${id.slice(0, 40)}`);
}

function spanOf(parts: ReportParts, year: number) {
  const timeZone = zoneNow(parts);
  return {
    year,
    fromMs: msAtLocalTime(`${year}-01-01`, "00:00", timeZone),
    untilMs: msAtLocalTime(`${year + 1}-01-01`, "00:00", timeZone),
  };
}

function yearsOf(parts: ReportParts): number[] {
  const { fromMs, toMs } = parts.seasons.span();
  const present = yearOf(parts, parts.clock.nowMs());
  const told = parts.seasons.list().map(({ year }) => year);
  const first = Math.min(present, ...told, fromMs === null ? present : yearOf(parts, fromMs));
  const last = Math.max(present, ...told, toMs === null ? present : yearOf(parts, toMs));
  return Array.from({ length: last - first + 1 }, (_, index) => first + index);
}

function seasonOf(parts: ReportParts, year: number): Season {
  const done = new Map(parts.seasons.doneJobs(year).map(({ job, doneMs }) => [job, doneMs]));
  const jobs = closingJobs.map(({ key }) => ({ key, doneMs: done.get(key) ?? null }));
  return { ...parts.seasons.find(year), ...spanOf(parts, year), jobs };
}

type Change = z.output<typeof seasonPatchSchema>;

/** A closed season has to be opened before anything else of it changes; both may come in one request. */
function change(parts: ReportParts, year: number, { closed, note, jobs = {} }: Change): Season {
  const { seasons, clock } = parts;
  const before = seasons.find(year);
  const touches = note !== undefined || Object.keys(jobs).length > 0;
  if (touches && closed !== false) requireOpenSeason(parts, spanOf(parts, year).fromMs);
  requireKnown(Object.keys(jobs));
  const nowMs = clock.nowMs();
  for (const [job, isDone] of Object.entries(jobs))
    seasons.setJob(year, job, isDone ? nowMs : null);
  const closedMs =
    closed === undefined ? before.closedMs : closedAt(before.closedMs, closed, nowMs);
  seasons.put({ year, closedMs, note: note === undefined ? before.note : note });
  return seasonOf(parts, year);
}

function closedAt(beforeMs: number | null, closed: boolean, nowMs: number): number | null {
  return closed ? (beforeMs ?? nowMs) : null;
}

function requireKnown(keys: readonly string[]): void {
  const unknown = keys.find((key) => !closingJobs.some((job) => job.key === key));
  if (unknown === undefined) return;
  const expected = `one of ${closingJobs.map(({ key }) => key).join(", ")}`;
  throw fieldProblem("jobs", expected, unknown);
}
