// How long the follower waits for more commits before it goes through what came.
import { expect, it } from "vitest";
import { restFrom } from "../../../server/watch/rest.ts";

const nowMs = 10_000;

/** Commits that came one every `everyMs`, the last of them `agoMs` ago, with all gone through `behindMs` ago. */
function rest({ everyMs, agoMs = 0, behindMs = 0 }: Record<string, number> & { everyMs: number }) {
  const commitMs = nowMs - agoMs;
  return restFrom(
    { commitMs, commitBeforeMs: commitMs - everyMs, caughtUpMs: nowMs - behindMs },
    nowMs,
  );
}

it("rests not at all for fifty buckets that each weigh by themselves every five seconds", () => {
  expect(rest({ everyMs: 100 })).toBe(0);
  expect(rest({ everyMs: 60 })).toBe(0);
});

it("rests a little while commits come thick and fast, and no longer once they cease", () => {
  expect(rest({ everyMs: 20 })).toBe(60);
  expect(rest({ everyMs: 20, agoMs: 60 })).toBe(0);
});

it("never falls further behind than half a second", () => {
  expect(rest({ everyMs: 20, behindMs: 470 })).toBe(30);
  expect(rest({ everyMs: 20, behindMs: 500 })).toBe(0);
  expect(rest({ everyMs: 20, behindMs: 900 })).toBeLessThanOrEqual(0);
});
