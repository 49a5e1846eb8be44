// Whether the machine's clock can be believed: a small computer has none of its own, and starts with
// the time it was switched off until the network tells it better.
import { existsSync, readFileSync } from "node:fs";
import { uptime } from "node:os";

/** No reading is older than this program. */
const earliestMs = Date.UTC(2026, 0, 1);
const timesyncFolder = "/run/systemd/timesync";

export type ClockSigns = {
  nowMs: number;
  /** The newest time this board has already given to a reading. */
  newestMs?: number | undefined;
  /** Where systemd says that the clock was set from the network; absent on other systems. */
  syncFolder?: string;
};

/** Why the clock can't be believed; undefined when it can. */
export function clockProblem(signs: ClockSigns): string | undefined {
  const { nowMs, newestMs, syncFolder = timesyncFolder } = signs;
  if (nowMs < earliestMs) return "it requires a time after 2025";
  if (newestMs !== undefined && nowMs < newestMs) return "it is behind the newest reading";
  if (existsSync(syncFolder) && !existsSync(`${syncFolder}/synchronized`)) {
    return "it was not set from the network since the start";
  }
  return undefined;
}

/** Names this start of the machine; a name of its own on systems that don't tell. */
export function readBoot(path = "/proc/sys/kernel/random/boot_id"): string {
  try {
    return readFileSync(path, "utf8").trim();
  } catch {
    // Without it the uptime can't be compared after a restart of the program; that start names itself.
    return `program-${process.pid}-${Date.now()}`;
  }
}

export function upMs(): number {
  return uptime() * 1000;
}
