// Outlooks for tests: an hourly wave of air temperature in the zone of Toronto.

import type { AirPoint } from "../../../../server/domain/keeping/air-ahead.ts";
import { msPerHour } from "../../../../shared/units.ts";

export const timeZone = "America/Toronto";
/** 1 March 2026, midnight in Toronto: five hours behind UTC. */
export const startMs = Date.UTC(2026, 2, 1, 5);

/** Coldest at 3 and warmest at 15 local time, between the bounds of each day. */
export function outlookOf(days: readonly { lowC: number; highC: number }[]): AirPoint[] {
  return Array.from({ length: days.length * 24 }, (_, hour) => {
    const day = days[Math.floor(hour / 24)] ?? { lowC: 0, highC: 0 };
    const share = 0.5 - 0.5 * Math.cos(((hour - 3) / 12) * Math.PI);
    return { atMs: startMs + hour * msPerHour, airC: day.lowC + (day.highC - day.lowC) * share };
  });
}

export function daysOf(count: number, lowC: number, highC: number) {
  return Array.from({ length: count }, () => ({ lowC, highC }));
}
