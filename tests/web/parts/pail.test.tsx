// @vitest-environment happy-dom
// The drawn pail: every state has its own shape and words, and the label says it all.
import { cleanup, render } from "@testing-library/preact";
import { afterEach, expect, it } from "vitest";
import type { BucketState, BucketView } from "../../../shared/wire/api.ts";
import { aheadAdvice, laidOnAdvice } from "../../../web/pail-words.ts";
import { Pail } from "../../../web/parts/pail.tsx";
import { hourMs, nowMs, sampleBucket, samplePage } from "../sample-yard.ts";

afterEach(cleanup);

function drawn(parts: Partial<BucketView>, todo?: "gather") {
  const bucket = sampleBucket(parts);
  return render(<Pail bucket={bucket} page={samplePage()} index={0} todo={todo} />).container;
}

type Shape = { state: BucketState; parts?: Partial<BucketView>; shape: string; words: string };
const shapes: Shape[] = [
  { state: "brimful", shape: ".overflow", words: "At the rim" },
  { state: "frozen", shape: ".ice-block", words: "Frozen" },
  { state: "silent", shape: ".mark", words: "Silent" },
  { state: "doubtful", shape: ".mark", words: "Weight in doubt" },
  { state: "away", shape: ".ghost", words: "Lifted off" },
  { state: "parked", shape: ".turned", words: "Parked" },
  {
    state: "unheard",
    parts: { lastReadingMs: null },
    shape: ".dots",
    words: "Not heard yet",
  },
  { state: "resting", shape: ".is-still", words: "Quiet" },
  { state: "resting", parts: { fullFraction: 0, volumeL: 0 }, shape: ".floor", words: "Empty" },
];

it.each(shapes)("$words has its own shape and says so", ({ state, parts, shape, words }) => {
  const place = drawn({ state, ...parts });
  expect(place.querySelector(shape)).not.toBeNull();
  expect(place.querySelector(".pail-state")?.textContent).toContain(words);
});

it("one that was heard, too seldom yet to say what it holds, is settling", () => {
  const place = drawn({ state: "unheard" });
  expect(place.querySelector(".pail-state")?.textContent).toBe("Heard, settling");
});

it("no two states draw the same picture", () => {
  const all = [...shapes, { state: "running" as const, parts: {} }];
  const pictures = all.map(({ state, parts }) => {
    const svg = drawn({ state, ...parts }).querySelector(".pail-drawing");
    cleanup();
    return svg?.innerHTML;
  });
  expect(new Set(pictures).size).toBe(all.length);
});

it("a running pail drips and a higher flow drips faster", () => {
  expect(drawn({ flowLPerH: 0.1 }).querySelector(".is-falling.is-slow")).not.toBeNull();
  cleanup();
  expect(drawn({ flowLPerH: 0.9 }).querySelector(".is-falling.is-fast")).not.toBeNull();
});

it("the sap stands as high as the bucket is full", () => {
  const surfaceY = (fullFraction: number) => {
    const surface = drawn({ fullFraction }).querySelector(".sap-surface");
    cleanup();
    return Number(surface?.getAttribute("cy"));
  };
  expect(surfaceY(0.25)).toBeGreaterThan(surfaceY(0.5));
  expect(surfaceY(0.5)).toBeGreaterThan(surfaceY(1));
  expect(surfaceY(1)).toBe(surfaceY(3));
});

it("a pail of unknown filling draws no sap and shows no litres", () => {
  const place = drawn({ state: "unheard", fullFraction: null, volumeL: null });
  expect(place.querySelector(".sap")).toBeNull();
  expect(place.querySelector(".pail-volume")).toBeNull();
});

it("leads to its tree and carries what there is to do", () => {
  const place = drawn({}, "gather");
  expect(place.querySelector("a")?.getAttribute("href")).toBe("#/bucket/gate");
  expect(place.querySelector(".tag")?.textContent).toBe("gather");
  expect(place.querySelector(".unseen")?.textContent).toMatch(/^Gate\. Running\. .*To do: gather$/);
});

it("litres that nobody weighs now are said to be past or in doubt", () => {
  const litres = (state: BucketState) => {
    const words = drawn({ state }).querySelector(".pail-volume")?.textContent;
    cleanup();
    return words;
  };
  expect(litres("silent")).toBe("was 6.0 L");
  expect(litres("away")).toBe("was 6.0 L");
  expect(litres("doubtful")).toBe("6.0 L?");
});

it("draws the brim time's spread along the next day, and what is left of the keeping", () => {
  const brim = {
    probability: 0.9,
    t10Ms: nowMs + 6 * hourMs,
    t50Ms: nowMs + 12 * hourMs,
    t90Ms: nowMs + 30 * hourMs,
  };
  const keeping = {
    sapTempC: 4,
    iceFraction: 0,
    spentFraction: 0.4,
    boilByMs: nowMs + 30 * hourMs,
    risk: "fresh" as const,
  };
  const place = drawn({ brim, keeping });
  expect(place.querySelector(".track-middle")?.getAttribute("d")).toBe("M60 1 v14");
  expect(place.querySelector(".track-lens")?.getAttribute("d")).toMatch(/^M32 8 .* 116 8 /);
  expect(place.querySelectorAll(".keep-drops .is-left").length).toBe(3);
  expect(place.querySelectorAll(".keep-drops .is-spent").length).toBe(2);
});

it("a bucket whose board dated readings ahead says so, and names the board", () => {
  const dated = { isDatedAhead: true, cell: "hollow/cell-1" };
  expect(drawn(dated).textContent).toContain("Readings are dated ahead of now");
  cleanup();
  expect(drawn({}).textContent).not.toContain("dated ahead");
  expect(aheadAdvice(sampleBucket(dated))).toBe(
    "Readings are dated ahead of now, and wait until then: the clock of board hollow is ahead of the server's, or was. Set the wrong one right.",
  );
  expect(aheadAdvice(sampleBucket({}))).toBeUndefined();
});

it("what came at once and did not run in is said, and the bucket isn’t called empty", () => {
  const empty = { state: "resting" as const, fullFraction: 0, volumeL: 0, massKg: 9.1 };
  const sinceMs = nowMs - hourMs / 2;
  const doubted = drawn({ ...empty, laidOn: { sinceMs, massKg: 8, isCounted: false } });
  expect(doubted.querySelector(".pail-state")?.textContent).toBe("Quiet");
  expect(doubted.textContent).toContain("8.0 kg more since 15:10 that did not run in");
  cleanup();
  const counted = drawn({ laidOn: { sinceMs, massKg: 8, isCounted: true } });
  expect(counted.textContent).not.toContain("did not run in");
  const advice = laidOnAdvice(
    sampleBucket({ laidOn: { sinceMs, massKg: 8, isCounted: true } }),
    samplePage(),
  );
  expect(advice).toMatch(/^8.0 kg came at once, 15:10, and counts as sap in it/);
});
