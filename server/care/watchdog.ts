// Tells systemd that the server is ready, and goes on telling it that it lives.
import { spawn } from "node:child_process";
import type { Log } from "../log.ts";

export type WatchdogParts = {
  /** NOTIFY_SOCKET; undefined where systemd isn't asking. */
  notifySocket: string | undefined;
  /** WATCHDOG_USEC: how long systemd waits for a word before it starts the server anew. */
  watchdogUsec: string | undefined;
  log: Log;
};

export type Watchdog = { start(): void; stop(): void };

/**
 * A word goes out through the program systemd-notify, as Node opens no datagram socket of that kind.
 * The timer is the event loop's own: a server that hangs says nothing, and is started anew.
 */
export function createWatchdog({ notifySocket, watchdogUsec, log }: WatchdogParts): Watchdog {
  const everyMs = Number(watchdogUsec) / 1000 / 3;
  let timer: NodeJS.Timeout | undefined;
  const say = (word: string) => {
    const env = { NOTIFY_SOCKET: notifySocket };
    const told = spawn("systemd-notify", [word], { stdio: "ignore", env });
    told.on("error", (error) => log.warn("systemd not told", { problem: error.message }));
  };
  return {
    start() {
      if (notifySocket === undefined) return;
      say("READY=1");
      if (everyMs > 0) timer = setInterval(() => say("WATCHDOG=1"), everyMs);
    },
    stop: () => clearInterval(timer),
  };
}
