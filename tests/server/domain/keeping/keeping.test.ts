// Keeping, slot by slot: warmth, ice, count and boil-by of a bucket that fills, stands and is emptied.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { keepingOf } from "../../../../server/domain/keeping/boil-by.ts";
import {
  earlyPerMl,
  type KeepingState,
  startKeeping,
  stepKeeping,
} from "../../../../server/domain/keeping/keeping.ts";

const startMs = Date.parse("2026-03-14T00:00:00Z");
const slotMs = 600_000;
const hourMs = 3_600_000;

type Place = { seasonDay?: number; washedMs?: number; noonHour?: number; sunShare?: number };
type Stand = Place & { hours: number; airC?: number; flowGPerH?: number };

/** Goes on for some hours with steady air and flow. */
function goOn(from: KeepingState, stand: Stand): KeepingState {
  let state = from;
  const inflowG = (stand.flowGPerH ?? 0) / 6;
  for (let slot = 0; slot < stand.hours * 6; slot += 1) {
    state = stepAt(state, { inflowG, netG: state.netG + inflowG, ...stand });
  }
  return state;
}

function stepAt(
  state: KeepingState,
  one: Place & { inflowG: number; netG: number; airC?: number },
): KeepingState {
  const atMs = (state.atMs ?? startMs) + slotMs;
  const flow = one.inflowG * 6;
  const slot = {
    atMs,
    netG: one.netG,
    inflowG: one.inflowG,
    flowGPerH: flow,
    lowGPerH: flow,
    highGPerH: flow,
    full: false,
    ...(one.airC === undefined ? {} : { airC: one.airC }),
  };
  const { seasonDay = 0, washedMs, sunShare, noonHour = null } = one;
  return stepKeeping(state, { slot, dtMs: slotMs, seasonDay, washedMs, sunShare, noonHour });
}

const met = (netG: number, airC: number) => stepAt(startKeeping(), { inflowG: 0, netG, airC });

function ask(state: KeepingState, airC: number) {
  const nowMs = state.atMs ?? startMs;
  return keepingOf(state, { nowMs, netG: state.netG, airAheadC: () => airC });
}

const boilHours = (state: KeepingState, airC: number) =>
  ((ask(state, airC).keeping?.boilByMs ?? Number.NaN) - (state.atMs ?? 0)) / hourMs;

describe("keeping of a bucket", () => {
  it("is unknown, with the reason, before the first slot and without air temperature", () => {
    expect(ask(startKeeping(), 5)).toEqual({
      keeping: null,
      missing: "no ten minutes of weighing yet",
    });
    const noAir = goOn(startKeeping(), { hours: 2, flowGPerH: 100 });
    expect(ask(noAir, 5).missing).toBe("no air temperature is known here");
    const state = met(5000, 5);
    const question = { nowMs: (state.atMs ?? 0) + 7 * hourMs, netG: 5000 };
    expect(keepingOf(state, { ...question, airAheadC: () => 5 }).missing).toBe(
      "no air temperature for 7 h",
    );
    expect(keepingOf(state, { ...question, nowMs: startMs, airAheadC: null }).missing).toBe(
      "no air temperature is known here",
    );
  });

  it("has no boil-by with nothing in it", () => {
    const { keeping } = ask(met(20, 15), 15);
    expect(keeping).toMatchObject({ boilByMs: null, spentFraction: 0 });
    const standing = met(5000, 15);
    const emptied = keepingOf(standing, {
      nowMs: standing.atMs ?? 0,
      netG: 10,
      airAheadC: () => 15,
    });
    expect(emptied.keeping?.boilByMs).toBeNull();
  });

  it("has a boil-by from 50 g on", () => {
    expect(ask(met(45, 15), 15).keeping?.boilByMs).toBeNull();
    expect(ask(met(55, 15), 15).keeping?.boilByMs).not.toBeNull();
  });

  it("has no boil-by when the sap keeps longer than 14 days", () => {
    expect(ask(met(5000, -8), -8).keeping?.boilByMs).toBeNull();
  });

  it("keeps fresh sap for days in the cold and about a day when warm", () => {
    expect(boilHours(met(5000, 3.3), 3.3)).toBeGreaterThan(72);
    expect(boilHours(met(5000, 3.3), 3.3)).toBeLessThan(168);
    expect(boilHours(met(5000, 20), 20)).toBeGreaterThan(8);
    expect(boilHours(met(5000, 20), 20)).toBeLessThan(30);
  });

  it("comes earlier the warmer the days ahead, the later the season", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 15, noNaN: true }),
        fc.double({ min: 0.5, max: 8, noNaN: true }),
        (airC, moreC) => {
          const state = met(5000, 5);
          expect(boilHours(state, airC + moreC)).toBeLessThan(boilHours(state, airC));
        },
      ),
      { numRuns: 25 },
    );
    const late = stepAt(startKeeping(), { inflowG: 0, netG: 5000, airC: 5, seasonDay: 30 });
    expect(boilHours(late, 5)).toBeLessThan(boilHours(met(5000, 5), 5));
  });

  it("arrives at boil-by about when it said it would, and stays past it", () => {
    const state = met(5000, 10);
    const saidH = boilHours(state, 10);
    const before = goOn(state, { hours: Math.floor(saidH) - 1, airC: 10 });
    expect(before.pastSinceMs).toBeNull();
    const after = goOn(state, { hours: Math.ceil(saidH) + 1, airC: 10 });
    expect(after.pastSinceMs).not.toBeNull();
    const later = goOn(after, { hours: 5, airC: 10 });
    expect(ask(later, 10).keeping).toMatchObject({
      boilByMs: after.pastSinceMs,
      spentFraction: 1,
    });
  });

  it("counts from nothing spent to all spent", () => {
    const fresh = ask(met(5000, 10), 10).keeping?.spentFraction ?? 1;
    expect(fresh).toBeLessThan(0.02);
    let last = fresh;
    let state = met(5000, 10);
    for (let day = 0; day < 3; day += 1) {
      state = goOn(state, { hours: 12, airC: 10 });
      const spent = ask(state, 10).keeping?.spentFraction ?? 0;
      expect(spent).toBeGreaterThan(last);
      last = spent;
    }
  });

  it("stays younger while fresh sap runs in", () => {
    const standing = goOn(met(2000, 8), { hours: 24, airC: 8 });
    const running = goOn(met(2000, 8), { hours: 24, airC: 8, flowGPerH: 300 });
    expect(earlyPerMl(running)).toBeLessThan(earlyPerMl(standing));
  });

  it("is emptied of its count but for what clings to the wall", () => {
    const hours = Math.ceil(boilHours(met(5000, 12), 12)) + 1;
    const old = goOn(met(5000, 12), { hours, airC: 12 });
    expect(old.pastSinceMs).not.toBeNull();
    const emptied = stepAt(old, { inflowG: 0, netG: 60, airC: 12 });
    expect(Math.max(...emptied.counts)).toBeLessThan(Math.max(...old.counts) * 0.02);
    const refilled = goOn(emptied, { hours: 5, airC: 12, flowGPerH: 1000 });
    const clean = goOn(met(0, 12), { hours: 5, airC: 12, flowGPerH: 1000 });
    expect(earlyPerMl(refilled)).toBeGreaterThan(2 * earlyPerMl(clean));
    expect(refilled.pastSinceMs).toBeNull();
  });

  it("seeds an emptied bucket from its wall even when the sap was fresh", () => {
    const emptied = stepAt(met(5000, 2), { inflowG: 0, netG: 0, airC: 2 });
    // 50 mL at 1e4 per mL, give or take what the ensemble allows for.
    const sorted = [...emptied.counts].sort((a, b) => a - b);
    expect(sorted[32]).toBeGreaterThan(4e5);
    expect(sorted[32]).toBeLessThan(7e5);
    expect(Math.min(...emptied.counts)).toBeGreaterThan(0);
  });

  it("has little on the wall of a bucket that was washed when it was emptied", () => {
    const full = goOn(met(5000, 6), { hours: 12, airC: 6 });
    const washedMs = (full.atMs ?? 0) - 20 * 60_000;
    const emptied = stepAt(full, { inflowG: 0, netG: 0, airC: 6 });
    const washed = stepAt(full, { inflowG: 0, netG: 0, airC: 6, washedMs });
    washed.counts.forEach((count, member) => {
      expect(count).toBeCloseTo((emptied.counts[member] ?? 0) / 100, 6);
    });
    const long = stepAt(full, { inflowG: 0, netG: 0, airC: 6, washedMs: washedMs - 3 * hourMs });
    expect(long.counts).toEqual(emptied.counts);
  });

  it("is as good as fresh when it is washed a while after it was emptied, but not when it is full", () => {
    const emptied = stepAt(met(5000, 6), { inflowG: 0, netG: 100, airC: 6 });
    const washedMs = (emptied.atMs ?? 0) + 60_000;
    const washed = stepAt(emptied, { inflowG: 0, netG: 100, airC: 6, washedMs });
    expect(earlyPerMl(washed)).toBeLessThan(earlyPerMl(emptied) / 3);
    const later = goOn({ ...washed, washedMs }, { hours: 1, airC: 6 });
    expect(earlyPerMl(later)).toBeGreaterThan(earlyPerMl(washed));
    const full = met(5000, 6);
    const marked = stepAt(full, { inflowG: 0, netG: 5000, airC: 6, washedMs });
    expect(marked.counts).toEqual(stepAt(full, { inflowG: 0, netG: 5000, airC: 6 }).counts);
  });

  it("is warmed by the sun as far as its shade lets it, and should then be boiled earlier", () => {
    const noon = { noonHour: 17 };
    const dark = goOn(met(5000, 6), { hours: 20, airC: 6 });
    const shaded = goOn(met(5000, 6), { hours: 20, airC: 6, sunShare: 0, ...noon });
    const half = goOn(met(5000, 6), { hours: 20, airC: 6, sunShare: 0.5, ...noon });
    const open = goOn(met(5000, 6), { hours: 20, airC: 6, sunShare: 1, ...noon });
    const tempC = (state: KeepingState) => ask(state, 6).keeping?.sapTempC ?? Number.NaN;
    expect(tempC(shaded)).toBe(tempC(dark));
    expect(tempC(half)).toBeGreaterThan(tempC(shaded) + 0.5);
    expect(tempC(open)).toBeGreaterThan(tempC(half) + 0.5);
    expect(boilHours(half, 6)).toBeLessThan(boilHours(shaded, 6));
    expect(boilHours(open, 6)).toBeLessThan(boilHours(half, 6));
  });

  it("has a plain word for the risk, and it only gets worse while sap stands", () => {
    const seen: string[] = [];
    let state = met(5000, 12);
    for (let day = 0; day < 12; day += 1) {
      const risk = ask(state, 12).keeping?.risk ?? "";
      if (seen.at(-1) !== risk) seen.push(risk);
      state = goOn(state, { hours: 6, airC: 12 });
    }
    expect(seen).toEqual(["fresh", "ageing", "late", "doubtful"]);
    expect(ask(met(20, 12), 12).keeping?.risk).toBe("fresh");
  });

  it("takes a jump of up to 100 g for the scale's, and a greater one for a hand's", () => {
    const state = goOn(met(5000, 9), { hours: 12, airC: 9 });
    const perMl = (netG: number) => earlyPerMl(stepAt(state, { inflowG: 0, netG, airC: 9 }));
    expect(perMl(4905) / perMl(5000)).toBeCloseTo(5000 / 4905, 5);
    expect(perMl(4895) / perMl(5000)).toBeCloseTo(1, 5);
  });

  it("follows the air with the wood in four hours, up to 6 degrees, and with the week's warmth in half a week", () => {
    const left = (hours: number, lagH: number) => 1 - Math.exp(-hours / lagH);
    expect(goOn(met(1000, 0), { hours: 4, airC: 5 }).stemC).toBeCloseTo(5 * left(4, 4), 2);
    expect(goOn(met(1000, 0), { hours: 24, airC: 20 }).stemC).toBe(6);
    expect(goOn(met(1000, 0), { hours: 42, airC: 10 }).weekMeanC).toBeCloseTo(10 * left(42, 84), 6);
  });

  it("counts what clings to the wall where less than 400 g is left", () => {
    const state = met(5000, 3);
    const perMl = (netG: number) => earlyPerMl(stepAt(state, { inflowG: 0, netG, airC: 3 }));
    expect(perMl(410) / perMl(5000)).toBeCloseTo(1, 5);
    expect(perMl(390) / perMl(5000)).toBeGreaterThan(1.2);
  });

  it("keeps count per mL and warmth when a part is poured off or a load put on", () => {
    const state = goOn(met(6000, 9), { hours: 10, airC: 9 });
    const steady = stepAt(state, { inflowG: 0, netG: 6000, airC: 9 });
    for (const netG of [3000, 9000]) {
      const handled = stepAt(state, { inflowG: 0, netG, airC: 9 });
      expect(earlyPerMl(handled)).toBeCloseTo(earlyPerMl(steady), 3);
      const tempC = ask(handled, 9).keeping?.sapTempC;
      expect(tempC).toBeCloseTo(ask(steady, 9).keeping?.sapTempC ?? 0, 2);
    }
  });

  it("stops growing as it freezes through and shows the ice", () => {
    const frozen = goOn(met(3000, 1), { hours: 72, airC: -12 });
    expect(ask(frozen, -12).keeping?.iceFraction).toBe(1);
    const later = goOn(frozen, { hours: 48, airC: -12 });
    expect(earlyPerMl(later)).toBe(earlyPerMl(frozen));
  });

  it("never holds more than 1e9 per mL", () => {
    const foul = goOn(met(3000, 25), { hours: 120, airC: 25 });
    expect(earlyPerMl(foul)).toBeLessThanOrEqual(1e9 * 1.0001);
    expect(earlyPerMl(foul)).toBeGreaterThan(0.99e9);
  });

  it("holds the last air temperature over a gap of the probe", () => {
    const state = goOn(met(3000, 10), { hours: 24, airC: 10 });
    expect(ask(goOn(state, { hours: 2 }), 10).keeping?.sapTempC).toBeCloseTo(10, 1);
  });

  it("goes on the same after a round trip through JSON, and changes nothing it was given", () => {
    const state = goOn(met(3000, 4), { hours: 7, airC: 4, flowGPerH: 120 });
    const before = structuredClone(state);
    const direct = goOn(state, { hours: 3, airC: 6 });
    expect(goOn(JSON.parse(JSON.stringify(state)), { hours: 3, airC: 6 })).toEqual(direct);
    expect(state).toEqual(before);
    expect(JSON.stringify(state).length).toBeLessThan(2000);
  });
});
