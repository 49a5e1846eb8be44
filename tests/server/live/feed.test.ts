// Pacing: at once, then merged; a slow page has one change waiting at most.
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { createFeed } from "../../../server/live/feed.ts";
import type { YardChange } from "../../../shared/wire/live.ts";
import { bucketView } from "../../helpers/http-rig.ts";

beforeEach(() => vi.useFakeTimers());
afterEach(() => vi.useRealTimers());

function openFeed() {
  const sent: YardChange[] = [];
  const network = { isDrained: true };
  const feed = createFeed({
    send: (change) => sent.push(change),
    isDrained: () => network.isDrained,
    restMs: 250,
  });
  return { feed, sent, network };
}

test("the first change goes at once, those after it merged and at most four a second", () => {
  const { feed, sent } = openFeed();
  for (let atMs = 0; atMs < 1000; atMs += 10) {
    feed.push({ nowMs: atMs });
    vi.advanceTimersByTime(10);
  }
  expect(sent.map((change) => change.nowMs)).toEqual([0, 240, 490, 740, 990]);
  vi.advanceTimersByTime(10_000);
  expect(sent).toHaveLength(5);
  feed.push({ nowMs: 9 });
  expect(sent).toHaveLength(6);
});

test("a slow page gets nothing until it has taken what it was sent, then all in one", () => {
  const { feed, sent, network } = openFeed();
  network.isDrained = false;
  for (let number = 0; number < 1000; number += 1) {
    feed.push({ nowMs: number, buckets: [bucketView(`b${number % 3}`, { volumeL: number })] });
    vi.advanceTimersByTime(10);
  }
  expect(sent).toEqual([]);
  network.isDrained = true;
  vi.advanceTimersByTime(250);
  expect(sent).toHaveLength(1);
  expect(sent[0]!.buckets!.map(({ id, volumeL }) => [id, volumeL])).toEqual([
    ["b0", 999],
    ["b1", 997],
    ["b2", 998],
  ]);
});

test("after stop nothing is sent and no timer runs", () => {
  const { feed, sent } = openFeed();
  feed.push({ nowMs: 1 });
  feed.push({ nowMs: 2 });
  feed.stop();
  expect(vi.getTimerCount()).toBe(0);
  vi.advanceTimersByTime(1000);
  expect(sent).toHaveLength(1);
});
