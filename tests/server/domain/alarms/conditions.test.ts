// Alarm conditions: each kind at its raise and hold limits, and that flicker opens nothing twice.
import { describe, expect, it } from "vitest";
import { stepEpisodes } from "../../../../server/domain/alarms/conditions.ts";
import { estimateOf, hourMs, nowMs, setup } from "../brim/fixtures.ts";
import { bucketOf, decisionOf, keepingOf, watch, yardOf } from "./fixtures.ts";

const raisedBy = (changes: Parameters<typeof bucketOf>[0]) =>
  stepEpisodes([], yardOf({ buckets: [bucketOf(changes)] }), nowMs).raised;

const warned = bucketOf({ decision: decisionOf({ warn: true, beforeAfterProbability: 0.2 }) });
const held = bucketOf({ decision: decisionOf({ beforeAfterProbability: 0.0901 }) });
const calm = bucketOf({ decision: decisionOf({ beforeAfterProbability: 0.0899 }) });

describe("brim alarm", () => {
  it("rises by the decision, is held down to 0.6 of the yard's threshold, and ends below", () => {
    expect(watch([held, warned, held, held, calm])).toEqual(["", "+brim", "", "", "-brim"]);
  });

  it("opens once through flicker about the threshold", () => {
    expect(watch([warned, held, warned, held, warned])).toEqual(["+brim", "", "", "", ""]);
  });

  it("carries the figures, is graver when urgent, and never writes a volume", () => {
    const [soon] = raisedBy({ decision: decisionOf({ warn: true }) });
    expect(soon).toMatchObject({ severity: "soon", subject: "gate" });
    expect(soon?.brim?.t50Ms).toBe(nowMs + 4 * hourMs);
    expect(soon?.text).toBe("Gate will likely brim over around 12:00");
    const [urgent] = raisedBy({ decision: decisionOf({ warn: true, urgent: true }) });
    expect(urgent?.severity).toBe("now");
  });

  it("says no more than may when the middle time is beyond the forecast", () => {
    const brim = { probability: 0.2, t10Ms: nowMs + 20 * hourMs, t50Ms: null, t90Ms: null };
    const [episode] = raisedBy({ decision: decisionOf({ warn: true, overnight: true, brim }) });
    expect(episode?.text).toBe("Gate may brim over around Sunday 4:00: empty it before the night");
  });

  it("gives way to brimful, and both end when the bucket is emptied", () => {
    const full = bucketOf({ ...warned, estimate: estimateOf({ full: true }), state: "brimful" });
    const emptied = bucketOf({ estimate: estimateOf({ netG: 50 }) });
    expect(watch([warned, full, emptied])).toEqual(["+brim", "+brimful -brim", "-brimful"]);
  });

  it("stays as it was while the bucket can't be judged", () => {
    for (const state of ["away", "doubtful"] as const) {
      const unseen = bucketOf({ state, decision: null, estimate: estimateOf({ netG: 0 }) });
      expect(watch([warned, unseen, held]).filter((change) => change.includes("brim"))).toEqual([
        "+brim",
      ]);
      expect(watch([unseen])).toEqual([""]);
    }
  });
});

describe("brimful alarm", () => {
  const at = (netG: number) => bucketOf({ estimate: estimateOf({ netG }) });

  it("rises at the rim and is held down to 0.95 of it", () => {
    const { capacityG } = setup;
    expect(watch([at(capacityG - 1), at(capacityG), at(0.951 * capacityG)])).toEqual([
      "",
      "+brimful",
      "",
    ]);
    expect(watch([at(capacityG), at(0.949 * capacityG)])[1]).toBe("-brimful");
  });
});

describe("boil and sour alarms", () => {
  const left = (hours: number | null, netG = 5000) =>
    bucketOf({ keeping: keepingOf(hours), estimate: estimateOf({ netG }) });

  it("rise a day ahead, are held to 30 h, and grow graver at 8 h", () => {
    expect(watch([left(24.1), left(24), left(29), left(31)])).toEqual(["", "+boil", "", "-boil"]);
    expect(raisedBy({ keeping: keepingOf(8.1) })[0]?.severity).toBe("advice");
    expect(raisedBy({ keeping: keepingOf(7.9) })[0]?.severity).toBe("soon");
  });

  it("turn from boil to sour when it is past, and sour is held for 2 h of doubt", () => {
    expect(watch([left(1), left(-0.1), left(1.9), left(2.5)])).toEqual([
      "+boil",
      "+sour -boil",
      "+boil",
      "-sour",
    ]);
  });

  it("say nothing of a dreg, and hold a little longer than they rise", () => {
    expect(watch([left(5, 499), left(5, 500), left(5, 401), left(5, 399)])).toEqual([
      "",
      "+boil",
      "",
      "-boil",
    ]);
  });

  it("stay while keeping is unknown and end when it is endless", () => {
    const unknown = bucketOf({ keeping: null });
    expect(watch([left(5), unknown, left(null)])).toEqual(["+boil", "", "-boil"]);
  });
});

describe("frozen alarm", () => {
  const ice = (iceFraction: number, fill: number) =>
    bucketOf({
      keeping: keepingOf(null, iceFraction),
      estimate: estimateOf({ netG: fill * setup.capacityG }),
    });

  it("rises with much ice in a well filled bucket and is held to less of both", () => {
    expect(watch([ice(0.59, 0.7), ice(0.61, 0.59), ice(0.61, 0.61)])).toEqual(["", "", "+frozen"]);
    expect(watch([ice(0.7, 0.7), ice(0.36, 0.51), ice(0.34, 0.51)])[2]).toBe("-frozen");
    expect(watch([ice(0.7, 0.7), ice(0.7, 0.49)])[1]).toBe("-frozen");
  });

  it("is graver where freezing through reaches the rim", () => {
    expect(raisedBy(ice(0.7, 0.91))[0]?.severity).toBe("advice");
    expect(raisedBy(ice(0.7, 0.93))[0]?.severity).toBe("soon");
  });
});

describe("silent and doubtful alarms", () => {
  const silent = bucketOf({ state: "silent", lastReadingMs: nowMs - hourMs });
  const doubtful = bucketOf({ state: "doubtful", fault: "saturated" });
  const well = bucketOf();

  it("end only after ten calm minutes, so that a stray reading opens nothing twice", () => {
    const every5Min = (buckets: ReturnType<typeof bucketOf>[]) => watch(buckets, 5 * 60_000);
    expect(every5Min([silent, well, silent, well, well, well])).toEqual([
      "+silent",
      "",
      "",
      "",
      "",
      "-silent",
    ]);
    expect(every5Min([doubtful, well, well, well])).toEqual(["+doubtful", "", "", "-doubtful"]);
  });

  it("name the time and the reason", () => {
    expect(raisedBy(silent)[0]?.text).toBe(
      "No reading from Gate since today 7:00: look at its cell and wire",
    );
    expect(raisedBy(doubtful)[0]?.text).toBe("The cell of Gate can't be trusted: saturated");
    const noisy = bucketOf({ state: "doubtful", estimate: estimateOf({ doubt: "too noisy" }) });
    expect(raisedBy(noisy)[0]?.text).toContain("too noisy");
  });

  it("leave a silent board's buckets to the board's own alarm", () => {
    expect(raisedBy({ ...silent, boardSilent: true })).toEqual([]);
  });

  it("say nothing of a parked bucket and end what it had open", () => {
    const parked = bucketOf({ ...warned, state: "parked" });
    expect(watch([warned, parked])).toEqual(["+brim", "-brim"]);
  });
});

describe("alarms of boards and of the store", () => {
  const board = {
    board: "hill",
    silent: false,
    lastHeardMs: nowMs - hourMs,
    supplyV: 12.6,
    highestSupplyV: null,
  };
  const store = { freeBytes: 5e9, problem: null };

  function changes(looks: Parameters<typeof yardOf>[0][], everyMs = 3_600_000) {
    let open: Parameters<typeof stepEpisodes>[0] = [];
    return looks.map((look, index) => {
      const step = stepEpisodes(open, yardOf(look), nowMs + index * everyMs);
      open = step.open;
      return [
        ...step.raised.map(({ kind }) => `+${kind}`),
        ...step.cleared.map(({ kind }) => `-${kind}`),
      ].join(" ");
    });
  }

  it("tell of a silent board under a subject that no bucket can have", () => {
    const look = yardOf({ boards: [{ ...board, silent: true }] });
    expect(stepEpisodes([], look, nowMs).raised).toMatchObject([
      { kind: "silent", subject: "board/hill", severity: "soon" },
    ]);
    const never = { ...board, silent: true, lastHeardMs: null };
    const [episode] = stepEpisodes([], yardOf({ boards: [never] }), nowMs).raised;
    expect(episode?.text).toBe("Nothing heard from board hill: look at its power and network");
  });

  it.each([
    { supply: "a lead battery", fullV: 12.6, lowV: 11.79, middleV: 12.1, wellV: 12.21 },
    { supply: "a 5 V supply", fullV: 5.1, lowV: 4.69, middleV: 4.75, wellV: 4.85 },
    { supply: "a lithium cell", fullV: 4.1, lowV: 3.39, middleV: 3.5, wellV: 3.61 },
  ])("tell of $supply running low and hold until it is well", ({ fullV, lowV, middleV, wellV }) => {
    const at = (supplyV: number) => ({ boards: [{ ...board, supplyV, highestSupplyV: fullV }] });
    const looks = [at(fullV), at(middleV), at(lowV), at(middleV), at(wellV), at(wellV)];
    expect(changes(looks)).toEqual(["", "", "+supply", "", "", "-supply"]);
  });

  it("say nothing of a supply that is not measured, and keep the word of a silent board", () => {
    const low = { ...board, supplyV: 11.5 };
    expect(changes([{ boards: [{ ...board, supplyV: null }] }])).toEqual([""]);
    const silent = { ...low, supplyV: 12.6, silent: true };
    expect(changes([{ boards: [low] }, { boards: [silent] }, { boards: [silent] }])).toEqual([
      "+supply",
      "+silent",
      "",
    ]);
  });

  it("tell of a disk that fills, from 500 MB on until 700", () => {
    const room = (freeBytes: number) => ({ store: { ...store, freeBytes } });
    expect(changes([room(501e6), room(499e6), room(699e6), room(701e6)])).toEqual([
      "",
      "+care",
      "",
      "-care",
    ]);
  });

  it("tell of a store that fails as work for now, and keep it while not looked at", () => {
    const failing = { store: { ...store, problem: "the folder is read-only" } };
    expect(stepEpisodes([], yardOf(failing), nowMs).raised).toMatchObject([
      { kind: "care", severity: "now", text: "The store needs care: the folder is read-only" },
    ]);
    expect(changes([failing, { store: null }, { store }])).toEqual(["+care", "", "-care"]);
  });
});

describe("an episode", () => {
  it("changes when its words or gravity do, and keeps when it was raised", () => {
    const first = stepEpisodes([], yardOf({ buckets: [warned] }), nowMs);
    const same = stepEpisodes(first.open, yardOf({ buckets: [warned] }), nowMs + 60_000);
    expect(same.changed).toEqual([]);
    expect(same.open[0]).toMatchObject({ confirmedAtMs: nowMs + 60_000, changedAtMs: nowMs });
    const urgent = bucketOf({ decision: decisionOf({ warn: true, urgent: true }) });
    const next = stepEpisodes(same.open, yardOf({ buckets: [urgent] }), nowMs + 120_000);
    expect(next.changed).toMatchObject([
      { severity: "now", raisedAtMs: nowMs, changedAtMs: nowMs + 120_000 },
    ]);
  });

  it("ends when its subject is gone, and the arguments stay as they were", () => {
    const { open } = stepEpisodes([], yardOf({ buckets: [warned] }), nowMs);
    const before = structuredClone(open);
    expect(stepEpisodes(open, yardOf(), nowMs + 1).cleared).toEqual(open);
    expect(open).toEqual(before);
  });

  it("goes on the same after a round trip through JSON", () => {
    const { open } = stepEpisodes([], yardOf({ buckets: [warned] }), nowMs);
    const again = JSON.parse(JSON.stringify(open));
    const look = yardOf({ buckets: [held] });
    expect(stepEpisodes(again, look, nowMs + 1)).toEqual(stepEpisodes(open, look, nowMs + 1));
  });
});
