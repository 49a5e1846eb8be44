// What is written down of a forecast: its chances and room, and nothing where nothing can be held against it.
import { describe, expect, it } from "vitest";
import { forecastFrom } from "../../../../server/domain/brim/forecast.ts";
import type { FlowEstimate } from "../../../../server/domain/bucket.ts";
import { saidOf } from "../../../../server/domain/record/said.ts";
import { estimateOf, nowMs, setup } from "../brim/fixtures.ts";

/** A hundred members of 100 g to 10 kg in 36 h, each at an even flow. */
const members = Array.from({ length: 100 }, (_, place) =>
  Float64Array.from({ length: 145 }, (_, step) => ((place + 1) * 100 * step) / 144),
);

function said(changes: Partial<FlowEstimate>) {
  const estimate = estimateOf({ netG: 7000, ...changes });
  const forecast = forecastFrom(members, { nowMs, estimate, setup });
  return saidOf({ forecast, members, estimate, setup });
}

describe("what is written down of a forecast", () => {
  it("is its chances, its interval and the room that there was", () => {
    const written = said({});
    expect(written).toMatchObject({ roomG: 3000 });
    // In 12 h a third of 10 kg at most, over 3 kg from the 91st member on; in 24 h from the 46th.
    expect(written?.over12h).toBeCloseTo(0.1, 1);
    expect(written?.over24h).toBeCloseTo(0.55, 1);
    expect(written?.low12G).toBeCloseTo(200, 0);
    expect(written?.mid12G).toBeCloseTo(1700, 0);
    expect(written?.high12G).toBeCloseTo(3200, 0);
  });

  it.each<[string, Partial<FlowEstimate>]>([
    ["off its cell", { away: true }],
    ["at its rim by the filter's word", { full: true }],
    ["in doubt", { doubt: "stuck" }],
    ["without room", { netG: 10_000 }],
  ])("is nothing of a bucket %s", (_, changes) => {
    expect(said(changes)).toBeNull();
  });
});
