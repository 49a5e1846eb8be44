// What vessels say of themselves.
import { describe, expect, it } from "vitest";
import type { VesselLine, VesselView } from "../../shared/wire/vessels.ts";
import { lineWords, overFullWords, vesselFacts } from "../../web/vessel-words.ts";
import { vesselSentence } from "../../web/views/vessels-view.tsx";
import { samplePage, sampleYard } from "./sample-yard.ts";

const page = samplePage();
const hourMs = 3_600_000;

function vessel(over: Partial<VesselView> = {}): VesselView {
  return {
    id: "barrel",
    label: "Barrel",
    capacityL: 100,
    place: "shade",
    probe: null,
    parked: false,
    filling: true,
    volumeL: 52,
    fullFraction: 0.52,
    sinceMs: page.nowMs - 20 * hourMs,
    newestMs: page.nowMs,
    dirty: true,
    washedMs: null,
    tempC: 3.2,
    tempFrom: "typed",
    keeping: {
      sapTempC: 3.2,
      iceFraction: 0,
      spentFraction: 0.4,
      boilByMs: page.nowMs + 5 * hourMs,
      risk: "fresh",
    },
    keepingMissing: null,
    shares: [{ treeId: "gate", label: "Gate", volumeL: 52 }],
    sugarBrix: 2.1,
    sugarKnownL: 52,
    useFirst: false,
    alarms: [],
    ...over,
  };
}

const said = (...vessels: VesselView[]) =>
  vesselSentence(samplePage({ yard: sampleYard({ vessels }) }));

describe("the sentence", () => {
  it("names what to boil and by when, the first of several first", () => {
    expect(said(vessel())).toMatch(/^52\.0 L in Barrel: boil it by /);
    const can = vessel({ id: "can", label: "Can", volumeL: 8, useFirst: true });
    expect(said(vessel(), can)).toMatch(/^60\.0 L in 2 vessels: boil what is in Can first by /);
  });

  it("warns of what is past its boil-by, and knows when nothing waits", () => {
    const keeping = { ...vessel().keeping!, boilByMs: page.nowMs - 1 };
    expect(said(vessel({ keeping }))).toMatch(/smell it before: it is past its boil-by\.$/);
    expect(said(vessel({ volumeL: 0 }))).toBe("No gathered sap is waiting.");
    expect(said()).toMatch(/^Add the vessel/);
    expect(said(vessel({ keeping: null }))).toMatch(/it keeps for now\.$/);
  });
});

it("facts say how full, since when, how warm by whom, of which trees and how sweet", () => {
  expect(Object.fromEntries(vesselFacts(vessel(), page))).toMatchObject({
    Holds: "52.0 L of 100.0 L",
    Since: "20 h ago",
    Sap: "3.2 °C as measured",
    From: "Gate 52.0 L",
    Sugar: "2.1 °Bx by its trees",
    Stands: "in the shade",
  });
  expect(Object.fromEntries(vesselFacts(vessel({ sugarKnownL: 3 }), page))).toMatchObject({
    Sugar: "2.1 °Bx by the trees of 3.0 L of it",
  });
  const empty = vessel({ volumeL: 0, keeping: null, shares: [] });
  expect(vesselFacts(empty, page)[0]).toEqual([
    "Holds",
    "nothing of 100.0 L, not washed since it held sap",
  ]);
});

const line: VesselLine = {
  atMs: page.nowMs,
  kind: "gathering",
  gatheringId: 1,
  pourId: null,
  bucketId: "elsewhere",
  otherVesselId: null,
  volumeL: 6.2,
  afterL: 6.2,
  shortL: 0,
  note: null,
};

it.each([
  ["gathering", "6.2 L from elsewhere"],
  ["in", "6.2 L from elsewhere"],
  ["over-in", "6.2 L over from a vessel"],
  ["over-out", "6.2 L over into a vessel"],
  ["boil", "6.2 L to the boil"],
  ["away", "6.2 L thrown away"],
] as const)("a line of kind %s reads %j", (kind, words) => {
  expect(lineWords({ ...line, kind }, page)).toBe(words);
});

it("what a person poured is one number, also where the book knew of less", () => {
  const short = { ...line, kind: "boil" as const, volumeL: 4, afterL: 0, shortL: 1 };
  expect(lineWords(short, page)).toBe("5.0 L to the boil");
});

it("a pour that fills a vessel beyond its rim is remarked upon", () => {
  const can = { label: "Can", volumeL: 11.36, capacityL: 7.57 };
  expect(overFullWords({ ...can, volumeL: 3 }, 4.5, "us")).toBeUndefined();
  expect(overFullWords(can, 3.79, "us")).toMatch(
    /^By its book Can is over full now, 4.00 gal in 2.00 gal: was it so much/,
  );
});
