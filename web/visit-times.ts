// Reads the times of day at which a person comes to the buckets: "7:30, 17", "7am and 5.30 pm".
import { type Parsed, parsed, refused } from "../shared/parsed.ts";

const clock = /^(\d{1,2})(?:[:.h](\d{2}))?(am|pm)?$/;

/** As HH:MM, in order; nothing said is null: any hour of the day. Problems are fit to be shown. */
export function parseVisitTimes(text: string): Parsed<string[] | null> {
  const words = text
    .toLowerCase()
    .replace(/\s*(am|pm)\b/g, "$1")
    .split(/[\s,;]+|\band\b/)
    .filter((word) => word !== "");
  const times: string[] = [];
  for (const word of words) {
    const time = timeFrom(word);
    if (time === undefined) {
      return refused(`“${word}” is no time of day: write visits like 7:30, 17:00`);
    }
    times.push(time);
  }
  return parsed(times.length === 0 ? null : [...new Set(times)].sort());
}

function timeFrom(word: string): string | undefined {
  const [found, hours = "", minutes = "00", half] = clock.exec(word) ?? [];
  if (found === undefined) return undefined;
  const typed = Number(hours);
  if (half !== undefined && (typed < 1 || typed > 12)) return undefined;
  const hour = half === undefined ? typed : (typed % 12) + (half === "pm" ? 12 : 0);
  if (hour > 23 || Number(minutes) > 59) return undefined;
  return `${String(hour).padStart(2, "0")}:${minutes}`;
}
