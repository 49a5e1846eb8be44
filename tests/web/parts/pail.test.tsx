// @vitest-environment happy-dom
// The drawn pail: every state has its own shape and words, and the label says it all.
import { cleanup, render } from "@testing-library/preact";
import { afterEach, expect, it } from "vitest";
import type { BucketState, BucketView } from "../../../shared/wire/api.ts";
import { Pail } from "../../../web/parts/pail.tsx";
import { sampleBucket, samplePage } from "../sample-yard.ts";

afterEach(cleanup);

function drawn(parts: Partial<BucketView>, todo?: "gather") {
  const bucket = sampleBucket(parts);
  return render(<Pail bucket={bucket} page={samplePage()} index={0} todo={todo} />).container;
}

const shapes: { state: BucketState; shape: string; words: string }[] = [
  { state: "brimful", shape: ".overflow", words: "At the rim" },
  { state: "frozen", shape: ".ice-block", words: "Frozen" },
  { state: "silent", shape: ".mark", words: "Silent" },
  { state: "doubtful", shape: ".mark", words: "Weight in doubt" },
  { state: "away", shape: ".ghost", words: "Lifted off" },
  { state: "parked", shape: ".turned", words: "Parked" },
  { state: "unheard", shape: ".dots", words: "Not heard yet" },
  { state: "resting", shape: ".is-still", words: "Not running" },
];

it.each(shapes)("$state shows its own shape and the words $words", ({ state, shape, words }) => {
  const place = drawn({ state });
  expect(place.querySelector(shape)).not.toBeNull();
  expect(place.querySelector(".pail-state")?.textContent).toContain(words);
});

it("no two states draw the same picture", () => {
  const states = [...shapes.map(({ state }) => state), "running" as const];
  const pictures = states.map((state) => {
    const svg = drawn({ state }).querySelector(".pail-drawing");
    cleanup();
    return svg?.innerHTML;
  });
  expect(new Set(pictures).size).toBe(states.length);
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
