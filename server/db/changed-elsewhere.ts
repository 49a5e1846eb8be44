// Notices that another program has changed the database: a command that enrols, revokes or sets a passphrase.
import type { Sqlite } from "./sqlite.ts";

export type ChangeWatch = { start(): void; stop(): void };

const everyMs = 500;

/** Calls `onChange` within half a second; what this program writes itself is no change. */
export function createChangeWatch(sqlite: Sqlite, onChange: () => void): ChangeWatch {
  const read = () => sqlite.pragma("data_version", { simple: true }) as number;
  let timer: NodeJS.Timeout | undefined;
  return {
    start() {
      let known = read();
      timer = setInterval(() => {
        const version = read();
        if (version === known) return;
        known = version;
        onChange();
      }, everyMs);
    },
    stop: () => clearInterval(timer),
  };
}
