// Boil-by of sap that only stands: the ensemble's tenth percentile, against a fine numeric integration.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { boilByPerMl, growthPerH, medianFlora } from "../../../../server/domain/keeping/growth.ts";
import {
  earlyOf,
  earlyRank,
  memberCount,
  memberFloras,
  memberFreshPerMl,
  memberWallCount,
  weatherCount,
  weatherOf,
  weatherZ,
} from "../../../../server/domain/keeping/members.ts";
import { mixed, partOf, type SapBody } from "../../../../server/domain/keeping/mixing.ts";
import { boilByOf } from "../../../../server/domain/keeping/standing.ts";
import {
  enthalpyOfLiquidJ,
  exchangeWPerK,
  sapNode,
} from "../../../../server/domain/keeping/temperature.ts";
import { volumeLFromG } from "../../../../shared/sap/density.ts";

const fromMs = Date.parse("2026-03-20T15:00:00Z");
const hourMs = 3_600_000;

function freshBody(netG: number, tempC: number, seasonDay = 10): SapBody {
  const volumeMl = volumeLFromG(netG) * 1000;
  return {
    netG,
    enthalpyJ: enthalpyOfLiquidJ(tempC, netG),
    counts: memberFloras.map((_, member) => volumeMl * memberFreshPerMl(member, seasonDay, 3)),
  };
}

const hoursOf = (body: SapBody, airC: (atMs: number) => number) =>
  ((boilByOf(body, fromMs, { airC }) ?? Number.POSITIVE_INFINITY) - fromMs) / hourMs;

describe("the ensemble", () => {
  it("has the mean and spread that the priors ask for", () => {
    const slopes = memberFloras.map(({ slope }) => slope);
    const leasts = memberFloras.map(({ leastC }) => leastC);
    const fresh = memberFloras.map((_, member) => Math.log10(memberFreshPerMl(member, 0, 0)));
    const walls = memberFloras.map((_, member) => Math.log10(memberWallCount(member, false)));
    const facts = (values: number[]) => {
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
      const sd = Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / values.length);
      return { mean, sd };
    };
    expect(memberFloras).toHaveLength(memberCount);
    expect(facts(slopes).mean).toBeCloseTo(medianFlora.slope, 3);
    expect(facts(slopes).sd / medianFlora.slope).toBeCloseTo(0.12, 1);
    expect(facts(leasts).mean).toBeCloseTo(medianFlora.leastC, 1);
    expect(facts(leasts).sd).toBeCloseTo(1, 0);
    expect(facts(fresh).mean).toBeCloseTo(2.8, 1);
    expect(facts(fresh).sd).toBeCloseTo(0.6, 1);
    expect(facts(walls).mean).toBeCloseTo(Math.log10(5e5), 1);
    expect(facts(walls).sd).toBeCloseTo(0.5, 1);
  });

  it("ties no two of its numbers together", () => {
    const axes = [
      memberFloras.map(({ slope }) => slope),
      memberFloras.map(({ leastC }) => leastC),
      memberFloras.map((_, member) => Math.log10(memberFreshPerMl(member, 0, 0))),
      memberFloras.map((_, member) => Math.log10(memberWallCount(member, false))),
      memberFloras.map((_, member) => weatherZ(weatherOf(member))),
    ];
    axes.forEach((one, index) => {
      for (const other of axes.slice(index + 1)) {
        expect(Math.abs(correlation(one, other))).toBeLessThan(0.15);
      }
    });
  });

  it("calls early what a tenth of it has reached", () => {
    const values = Array.from({ length: memberCount }, (_, index) => index);
    expect(earlyOf(values)).toBe(memberCount - earlyRank);
    expect(earlyRank / memberCount).toBeGreaterThanOrEqual(0.1);
    expect((earlyRank - 1) / memberCount).toBeLessThan(0.1);
  });
});

describe("boil-by of standing sap", () => {
  it("is near the early member's own time when the temperature holds", () => {
    // Each member's batch is then a plain exponential; what the air may be off by moves it a little.
    const body = freshBody(5000, 8);
    const hours = memberFloras
      .map((flora, member) => {
        const { tempC } = sapNode(body.enthalpyJ, body.netG);
        const perMl = memberFreshPerMl(member, 10, 3);
        return Math.log(boilByPerMl / perMl) / growthPerH(tempC, flora);
      })
      .sort((a, b) => a - b);
    const plain = hours[earlyRank - 1] ?? Number.NaN;
    expect(Math.abs(hoursOf(body, () => 8) / plain - 1)).toBeLessThan(0.1);
  });

  it("agrees with a fine integration of temperature and growth through swinging days", () => {
    const body = freshBody(6000, 4);
    const airC = (atMs: number) =>
      7 + 6 * Math.sin((2 * Math.PI * (atMs - fromMs)) / (24 * hourMs));
    const fine = fineHours(body, airC);
    const told = hoursOf(body, airC);
    expect(Math.abs(told - fine) / fine).toBeLessThan(0.02);
  });

  it("comes no later in warmer air, in sun, with more in it that grows", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 14, noNaN: true }),
        fc.double({ min: 0.1, max: 6, noNaN: true }),
        fc.double({ min: 500, max: 20_000, noNaN: true }),
        (airC, moreC, netG) => {
          const body = freshBody(netG, 3);
          const plain = hoursOf(body, () => airC);
          expect(hoursOf(body, () => airC + moreC)).toBeLessThanOrEqual(plain);
          const foul = { ...body, counts: body.counts.map((count) => count * 10) };
          expect(hoursOf(foul, () => airC)).toBeLessThanOrEqual(plain);
          const sunny = { airC: () => airC, sunWPerM2: () => 200 };
          expect(boilByOf(body, fromMs, sunny) ?? 1e15).toBeLessThanOrEqual(
            plain * hourMs + fromMs + 1,
          );
        },
      ),
      { numRuns: 40 },
    );
  });

  it("lies between those of two bodies once they are poured together", () => {
    const old = { ...freshBody(4000, 6), counts: freshBody(4000, 6).counts.map((n) => n * 50) };
    const fresh = freshBody(4000, 6);
    const both = mixed(old, fresh);
    const air = () => 6;
    expect(hoursOf(both, air)).toBeGreaterThan(hoursOf(old, air));
    expect(hoursOf(both, air)).toBeLessThan(hoursOf(fresh, air));
  });

  it("is now for what is past it, and never for none or for frozen sap", () => {
    const body = freshBody(5000, 6);
    const foul = { ...body, counts: body.counts.map(() => 1e7 * 5000) };
    expect(boilByOf(foul, fromMs, { airC: () => 6 })).toBe(fromMs);
    expect(boilByOf(partOf(body, 0), fromMs, { airC: () => 6 })).toBeNull();
    expect(boilByOf(body, fromMs, { airC: () => -15 })).toBeNull();
  });

  it("refuses a body of other members", () => {
    const body = { netG: 100, enthalpyJ: 0, counts: new Array<number>(memberCount + 1).fill(1) };
    expect(() => boilByOf(body, fromMs, { airC: () => 6 })).toThrow(RangeError);
  });
});

function correlation(one: readonly number[], other: readonly number[]): number {
  const mean = (values: readonly number[]) =>
    values.reduce((sum, value) => sum + value, 0) / values.length;
  const [a, b] = [mean(one), mean(other)];
  const sums = one.reduce(
    (sum, value, index) => {
      const [x, y] = [value - a, (other[index] ?? 0) - b];
      return { xy: sum.xy + x * y, xx: sum.xx + x * x, yy: sum.yy + y * y };
    },
    { xy: 0, xx: 0, yy: 0 },
  );
  return sums.xy / Math.sqrt(sums.xx * sums.yy);
}

/** Every member on its own in Euler steps of 20 s, with the weather's error put on the air. */
function fineHours(body: SapBody, airC: (atMs: number) => number): number {
  const exchange = exchangeWPerK(body.netG);
  const volumeMl = volumeLFromG(body.netG) * 1000;
  const stepS = 20;
  const times: number[] = [];
  const held = Array.from({ length: weatherCount }, () => body.enthalpyJ);
  const logs = body.counts.map((count) => Math.log(count / volumeMl));
  const done = new Set<number>();
  for (let seconds = 0; times.length < earlyRank; seconds += stepS) {
    const hours = seconds / 3600;
    const sdC = Math.min(3, 0.5 + 0.03 * hours);
    const nodes = held.map((joules) => sapNode(joules, body.netG));
    logs.forEach((log, member) => {
      const node = nodes[weatherOf(member)];
      const flora = memberFloras[member];
      if (node === undefined || flora === undefined) throw new Error("no such member");
      const rate = growthPerH(node.tempC, flora) * (1 - node.iceFraction);
      logs[member] = log + (rate * stepS) / 3600;
      if ((logs[member] ?? 0) >= Math.log(boilByPerMl) && !done.has(member)) {
        done.add(member);
        times.push(hours);
      }
    });
    held.forEach((joules, weather) => {
      const air = airC(fromMs + seconds * 1000) + sdC * weatherZ(weather);
      held[weather] = joules + stepS * exchange * (air - (nodes[weather]?.tempC ?? 0));
    });
  }
  return times[earlyRank - 1] ?? Number.NaN;
}
