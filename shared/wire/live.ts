// Socket events: the whole yard on connecting, then only what changed, the latest winning.
import type { YardView } from "./api.ts";

/** Lists are replaced entry by entry on `id`, `name` or whole where no key is named. */
export type YardChange = {
  nowMs: number;
  yard?: YardView["yard"];
  season?: YardView["season"];
  boards?: YardView["boards"];
  /** Only the buckets that changed. */
  buckets?: YardView["buckets"];
  /** Buckets that are gone. */
  gone?: string[];
  /** All of them, when any changed. */
  vessels?: YardView["vessels"];
  /** All that are open, when any changed: one that is not among them is cleared. */
  alarms?: YardView["alarms"];
  doNow?: YardView["doNow"];
};

export type ServerToPage = {
  yard: (view: YardView) => void;
  change: (change: YardChange) => void;
};

export type PageToServer = Record<string, never>;
