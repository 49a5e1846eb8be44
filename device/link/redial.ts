// A transport for Firmata that lives as long as the program: it dials again whenever its wire ends.
import { EventEmitter } from "node:events";
import type { Dial, Wire } from "./dial.ts";

/** What Firmata takes for a serial port. It emits open and data; it never closes. */
export type Transport = EventEmitter & {
  write(bytes: Uint8Array, done?: () => void): void;
};

export type Redial = {
  transport: Transport;
  start(): void;
  /** Ends the wire and dials anew, which resets a board on a USB port. */
  reopen(why: string): void;
  stop(): Promise<void>;
};

export type RedialSettings = {
  dial: Dial;
  opened: () => void;
  lost: (problem: string) => void;
  leastWaitMs?: number;
  mostWaitMs?: number;
};

export function createRedial(settings: RedialSettings): Redial {
  const { dial, leastWaitMs = 250, mostWaitMs = 5_000 } = settings;
  let wire: Wire | undefined;
  let isOpen = false;
  let stopped = true;
  let waitMs = leastWaitMs;
  let timer: NodeJS.Timeout | undefined;
  let ended: (() => void) | undefined;
  let reason: string | undefined;

  function closed(problem: string): void {
    wire = undefined;
    isOpen = false;
    ended?.();
    settings.lost(reason ?? problem);
    reason = undefined;
    if (stopped) return;
    timer = setTimeout(dialNow, waitMs);
    waitMs = Math.min(waitMs * 2, mostWaitMs);
  }
  function opened(): void {
    isOpen = true;
    waitMs = leastWaitMs;
    transport.emit("open");
    settings.opened();
  }
  function dialNow(): void {
    wire = dial({ opened, data: (bytes) => transport.emit("data", bytes), closed });
  }

  const transport: Transport = Object.assign(new EventEmitter(), {
    // While there is no wire a command is lost, as one on a cut wire would be.
    write(bytes: Uint8Array, done?: () => void) {
      if (isOpen) wire?.write(bytes);
      done?.();
    },
  });

  return {
    transport,
    start() {
      if (!stopped) return;
      stopped = false;
      dialNow();
    },
    reopen(why) {
      reason = why;
      wire?.close();
    },
    async stop() {
      stopped = true;
      clearTimeout(timer);
      if (wire === undefined) return;
      const over = new Promise<void>((resolve) => {
        ended = resolve;
      });
      wire.close();
      await over;
    },
  };
}
