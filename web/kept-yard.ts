// The last word from the server, kept in this browser for when it is away; forgotten with the session.
import type { YardView } from "../shared/wire/api.ts";
import type { Store } from "./store.ts";

export type YardKeep = Pick<Storage, "getItem" | "setItem" | "removeItem">;
export type KeptYard = { view: YardView; savedMs: number };

const key = "last-yard";
/** So that a busy yard doesn't write all the time. */
const atMostEveryMs = 20_000;

/** `version` tells one version of the page from another, whose yard may look otherwise. */
export function keepYard(keep: YardKeep, kept: KeptYard, version: string): void {
  try {
    keep.setItem(key, JSON.stringify({ ...kept, version }));
  } catch {
    // A full or forbidden store: then nothing is kept, which harms nothing that is live.
    keep.removeItem(key);
  }
}

export function keptYard(keep: YardKeep, version: string): KeptYard | undefined {
  try {
    const kept = JSON.parse(keep.getItem(key) ?? "null") as (KeptYard & { version: string }) | null;
    return kept?.version === version ? { view: kept.view, savedMs: kept.savedMs } : undefined;
  } catch {
    return undefined;
  }
}

export function forgetYard(keep: YardKeep): void {
  keep.removeItem(key);
}

/** Keeps what is live every now and then, and when the page is put away. */
export function startKeeping(parts: {
  store: Store;
  keep: YardKeep;
  version: string;
  nowMs: () => number;
}): void {
  const { store, keep, version, nowMs } = parts;
  let savedMs = Number.NEGATIVE_INFINITY;
  const save = () => {
    const { link, yard } = store.get();
    if (link !== "live" || yard === undefined) return;
    savedMs = nowMs();
    keepYard(keep, { view: yard, savedMs }, version);
  };
  store.watch(() => {
    if (nowMs() - savedMs >= atMostEveryMs) save();
  });
  addEventListener("pagehide", save);
}
