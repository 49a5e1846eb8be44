// Keeps the records of a closed season as they are.
import { AppError } from "../../shared/errors.ts";
import { localParts } from "../../shared/local-time.ts";
import { zoneNow } from "./kitchen.ts";
import type { HttpParts } from "./parts.ts";

export type ClosedParts = Pick<HttpParts, "watch" | "seasons">;

/** The season of an instant: its local calendar year. */
export function yearOf(parts: Pick<HttpParts, "watch">, atMs: number): number {
  return Number(localParts(atMs, zoneNow(parts)).dayKey.slice(0, 4));
}

/** Throws AppError "conflict" when any of the instants lies in a season that is closed. */
export function requireOpenSeason(
  parts: ClosedParts,
  ...atMs: (number | null | undefined)[]
): void {
  for (const each of atMs) {
    if (each === null || each === undefined) continue;
    const year = yearOf(parts, each);
    if (parts.seasons.find(year).closedMs === null) continue;
    throw new AppError("conflict", `${year} is closed: open it again under Season first`);
  }
}
