// Says of the server itself what a person wants to know: room, backups, clocks.
import { msPerDay, msPerHour, msPerMinute } from "../units.ts";
import type { Care } from "../wire/care.ts";
import { formatAge } from "./format.ts";

const kilo = 1000;
const sizes = ["bytes", "kB", "MB", "GB", "TB"];

/** In powers of ten, as disks are sold: "35 MB", "1.4 GB". */
export function formatBytes(bytes: number): string {
  let size = bytes;
  let power = 0;
  while (size >= 999.5 && power < sizes.length - 1) {
    size /= kilo;
    power += 1;
  }
  const isShort = power > 0 && size < 9.95;
  return `${size.toFixed(isShort ? 1 : 0)} ${sizes[power]}`;
}

export function diskWords({ freeBytes, storeBytes }: Care["disk"]): string {
  const free = freeBytes === null ? "room not known" : `${formatBytes(freeBytes)} free`;
  return storeBytes === null ? free : `${free}, the database takes ${formatBytes(storeBytes)}`;
}

export function backupWords({ backups, nowMs }: Pick<Care, "backups" | "nowMs">): string {
  const { lastAtMs, lastBytes, count, problem } = backups;
  const failed = problem === null ? "" : ` The last try failed: ${problem}.`;
  if (lastAtMs === null) return `None was made yet.${failed}`;
  const size = lastBytes === null ? "" : `, ${formatBytes(lastBytes)}`;
  const others = count > 1 ? ` ${count} are kept.` : "";
  return `The newest was made ${formatAge(nowMs - lastAtMs)}${size}.${others}${failed}`;
}

/** Nothing of it matters below this: a pack is on its way for a while. */
const sameMs = 30_000;

export function clockWords(clockAheadMs: number | null): string {
  if (clockAheadMs === null) return "clock not known yet";
  if (Math.abs(clockAheadMs) < sameMs) return "clock agrees";
  return `clock ${clockOffWords(clockAheadMs)}`;
}

/** "about 5 min ahead". */
export function clockOffWords(aheadMs: number): string {
  return `${clockSpan(aheadMs)} ${aheadMs > 0 ? "ahead" : "behind"}`;
}

const roundMinutes = [1, 2, 5, 10, 20, 30, 45, 60];

/** "about 5 min", however it lies: in few steps, or an alarm that tells it would change with every look. */
export function clockSpan(aheadMs: number): string {
  const spanMs = Math.abs(aheadMs);
  const minutes = spanMs / msPerMinute;
  const nearest = roundMinutes.reduce((best, step) =>
    Math.abs(step - minutes) < Math.abs(best - minutes) ? step : best,
  );
  if (nearest < 60) return `about ${nearest} min`;
  const hours = Math.round(spanMs / msPerHour);
  return `about ${hours < 48 ? `${hours} h` : `${Math.round(spanMs / msPerDay)} days`}`;
}

/** "none: nothing is encrypted on its way", "good for 812 days". */
export function certificateWords({
  certificateUntilMs,
  nowMs,
}: Pick<Care, "certificateUntilMs" | "nowMs">): string {
  if (certificateUntilMs === null) return "none: nothing is encrypted on its way";
  const days = Math.floor((certificateUntilMs - nowMs) / msPerDay);
  if (days < 0) return "has ended";
  return days === 1 ? "good for 1 day" : `good for ${days} days`;
}

// What is heard more seldom than that is no board that is only between two readings.
const heardOfLateMs = 10 * msPerMinute;

/** Whether a board is there; what publishes without saying so, as a script does, is known by being heard. */
export function boardWords(
  board: { online: boolean; lastHeardMs: number | null },
  nowMs: number,
): string {
  if (board.online) return "is there";
  const isHeard = board.lastHeardMs !== null && nowMs - board.lastHeardMs < heardOfLateMs;
  return isHeard ? "sends readings, now and then" : "is away";
}
