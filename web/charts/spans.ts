// How far back a curve looks, and how fine.
import { msPerDay, msPerHour, msPerMinute } from "../../shared/units.ts";

export type SpanName = "24h" | "3d" | "10d" | "season";
export type Span = { fromMs: number; toMs: number; stepMs: number };

export const spanWords: Record<SpanName, string> = {
  "24h": "24 h",
  "3d": "3 days",
  "10d": "10 days",
  season: "Season",
};
export const spanNames: readonly SpanName[] = ["24h", "3d", "10d", "season"];

const mostSteps = 600;

/** The span that ends now; a season starts at its first reading, or 60 days back without one. */
export function spanOf(name: SpanName, at: { nowMs: number; firstReadingMs: number | null }): Span {
  const toMs = at.nowMs;
  switch (name) {
    case "24h":
      return { fromMs: toMs - msPerDay, toMs, stepMs: 5 * msPerMinute };
    case "3d":
      return { fromMs: toMs - 3 * msPerDay, toMs, stepMs: 10 * msPerMinute };
    case "10d":
      return { fromMs: toMs - 10 * msPerDay, toMs, stepMs: 30 * msPerMinute };
    case "season": {
      const fromMs = Math.min(at.firstReadingMs ?? toMs - 60 * msPerDay, toMs - msPerDay);
      const stepMs = Math.max(msPerHour / 2, Math.ceil((toMs - fromMs) / mostSteps));
      return { fromMs, toMs, stepMs };
    }
  }
}
