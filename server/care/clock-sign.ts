// Whether the server's clock can be believed yet: a small computer has none of its own, and starts with
// the time it was switched off until the network tells it better.
import { existsSync } from "node:fs";
import { msPerHour } from "../../shared/units.ts";

export type ClockSign = () => boolean;

/** Where systemd says that the clock was set from the network; absent on other systems. */
const timesyncFolder = "/run/systemd/timesync";
/** Where no network tells the time by then, people set it. */
const patienceMs = msPerHour;

/** Once believed, it stays so. `upMs` is the real time since the program started. */
export function createClockSign({
  upMs = () => performance.now(),
  folder = timesyncFolder,
}: {
  upMs?: () => number;
  folder?: string;
} = {}): ClockSign {
  let isBelieved = false;
  return () => {
    isBelieved ||=
      upMs() > patienceMs || !existsSync(folder) || existsSync(`${folder}/synchronized`);
    return isBelieved;
  };
}
