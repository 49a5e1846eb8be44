// The last known yard: kept while live, never of another version, gone with the session.
// @vitest-environment happy-dom
import { expect, it } from "vitest";
import {
  forgetYard,
  keepYard,
  keptYard,
  startKeeping,
  type YardKeep,
} from "../../web/kept-yard.ts";
import { createStore } from "../../web/store.ts";
import { nowMs, sampleYard } from "./sample-yard.ts";

function createKeep(limit = Number.POSITIVE_INFINITY): YardKeep & { writes: number } {
  const texts = new Map<string, string>();
  const keep = {
    writes: 0,
    getItem: (name: string) => texts.get(name) ?? null,
    setItem(name: string, text: string) {
      if (text.length > limit) throw new Error("full");
      keep.writes += 1;
      texts.set(name, text);
    },
    removeItem: (name: string) => void texts.delete(name),
  };
  return keep;
}

it("is there again with the time it was kept, for the same version alone", () => {
  const keep = createKeep();
  const kept = { view: sampleYard(), savedMs: nowMs };
  keepYard(keep, kept, "a");
  expect(keptYard(keep, "a")).toEqual(kept);
  expect(keptYard(keep, "b")).toBeUndefined();
  forgetYard(keep);
  expect(keptYard(keep, "a")).toBeUndefined();
});

it("is none where the store is full or holds something else", () => {
  const full = createKeep(10);
  keepYard(full, { view: sampleYard(), savedMs: nowMs }, "a");
  expect(keptYard(full, "a")).toBeUndefined();
  const keep = createKeep();
  keep.setItem("last-yard", "{not json");
  expect(keptYard(keep, "a")).toBeUndefined();
});

it("is kept while the link is live, now and then, and as it is put away", () => {
  const keep = createKeep();
  const store = createStore();
  let realMs = 1000;
  startKeeping({ store, keep, version: "a", nowMs: () => realMs });
  store.act({ type: "yard", view: sampleYard(), pageMs: 0 });
  store.act({ type: "change", change: { nowMs: nowMs + 1000 }, pageMs: 1 });
  expect(keep.writes).toBe(1);
  realMs += 20_000;
  store.act({ type: "change", change: { nowMs: nowMs + 20_000 }, pageMs: 2 });
  expect(keep.writes).toBe(2);
  store.act({ type: "lost" });
  realMs += 60_000;
  dispatchEvent(new Event("pagehide"));
  expect(keep.writes).toBe(2);
  expect(keptYard(keep, "a")).toMatchObject({ savedMs: 21_000, view: { nowMs: nowMs + 20_000 } });
});
