// A corrected calibration over stored weights: as if they had been weighed right from the start.
import { afterEach, expect, it } from "vitest";
import { createRandom } from "../../helpers/random.ts";
import { startMs } from "../../helpers/store-rig.ts";
import {
  derived,
  filling,
  hang,
  openWatchRig,
  type Sample,
  type WatchRig,
} from "../../helpers/watch-rig.ts";

const hour = 3_600_000;
const fromMs = startMs - 60 * hour;
const right = { zeroCounts: -15_000, countsPerG: 107.4 };
/** Five per cent too few counts a gram, and a zero that is 300 g off. */
const wrong = { zeroCounts: -15_000 + 300 * 107.4, countsPerG: 107.4 * 0.95 };
const rigs: WatchRig[] = [];

afterEach(() => {
  for (const { watch, stores } of rigs.splice(0)) {
    watch.stop();
    stores.close();
  }
});

function openRig(): WatchRig {
  const rig = openWatchRig();
  rigs.push(rig);
  return rig;
}

type Scale = typeof right;
type Weighed = Sample & { counts: number | null };

/** What a board with this calibration sends of such weights: to a tenth of a gram, with its counts. */
function weighedWith(scale: Scale, samples: readonly Sample[]): Weighed[] {
  return samples.map((sample) => {
    const counts = Math.round(right.zeroCounts + right.countsPerG * sample.massG);
    const massG = Math.round(((counts - scale.zeroCounts) / scale.countsPerG) * 10) / 10;
    return { ...sample, massG, counts };
  });
}

function keep(rig: WatchRig, samples: readonly Weighed[]): void {
  const { boards, readings } = rig.stores;
  boards.heard("hill", rig.clock.nowMs());
  const cellKey = boards.cellKey({ board: "hill", name: "cell-1", atMs: fromMs });
  const probeKey = boards.probeKey({ board: "hill", name: "air", atMs: fromMs });
  for (const { atMs, massG, counts, airC = 6 } of samples) {
    readings.insertReading({ cellKey, atMs, massG, spreadG: 1, counts });
    readings.insertTemperature({ probeKey, atMs, tempC: airC });
  }
  const times = samples.map(({ atMs }) => atMs);
  const span = { fromMs: Math.min(...times), untilMs: Math.max(...times) };
  rig.watch.committed([{ board: "hill", cells: [{ cellKey, ...span }], probes: span }]);
}

/** Two and a half days: fills, is emptied at hour 20, fills again. */
function samples(): Sample[] {
  const noise = createRandom(5).gaussian;
  const empty = filling({ fromMs: fromMs + 20 * hour, hours: 0.03, flowGPerH: 0, noise });
  return [
    ...filling({ fromMs, hours: 20, flowGPerH: 300, noise }),
    ...empty.map((sample) => ({ ...sample, massG: 4 * noise() })),
    ...filling({ fromMs: fromMs + 20.05 * hour, hours: 39, flowGPerH: 200, noise }),
  ];
}

async function settled(rig: WatchRig) {
  await rig.watch.settled();
  return derived(rig);
}

async function yardOf(scale: Scale, of = samples()) {
  const rig = openRig();
  hang(rig, { label: "Gate", cell: "hill/cell-1", fromMs });
  keep(rig, weighedWith(scale, of));
  await rig.watch.settled();
  return rig;
}

function wish(rig: WatchRig, over: Partial<{ fromMs: number; untilMs: number }> = {}) {
  const cellKey = rig.stores.boards.findCell("hill", "cell-1")!.key;
  const correction = { cellKey, fromMs, untilMs: startMs, ...right, ...over };
  return { correction, counted: rig.stores.corrections.countIn(correction) };
}

function correct(rig: WatchRig, over = {}) {
  const { correction } = wish(rig, over);
  const made = rig.stores.corrections.insert({ ...correction, madeMs: startMs });
  rig.watch.cellCorrected(made);
  return made;
}

const slow = 60_000;

it(
  "makes of the whole season what the right calibration would have, and undone what there was",
  async () => {
    const rightRig = await yardOf(right);
    const rig = await yardOf(wrong);
    const [asItShouldBe, asItWas] = [derived(rightRig), derived(rig)];
    expect(asItWas.days).not.toEqual(asItShouldBe.days);
    const { id } = correct(rig);
    expect(await settled(rig)).toEqual(asItShouldBe);
    rig.watch.cellCorrected(rig.stores.corrections.remove(id));
    expect(await settled(rig)).toEqual(asItWas);
  },
  slow,
);

it(
  "weighs readings of the old calibration right that come long after the correction",
  async () => {
    const all = samples();
    const late = all.slice(900, 1_100);
    const rig = await yardOf(wrong, [...all.slice(0, 900), ...all.slice(1_100)]);
    correct(rig);
    await rig.watch.settled();
    keep(rig, weighedWith(wrong, late));
    expect(await settled(rig)).toEqual(derived(await yardOf(right)));
  },
  slow,
);

it(
  "previews what then comes true, and changes nothing by that",
  async () => {
    const rig = await yardOf(wrong);
    const before = derived(rig);
    const preview = await rig.watch.previewCorrection(wish(rig));
    expect(derived(rig)).toEqual(before);
    expect(preview).toMatchObject({ readings: samples().length, withoutCounts: 0 });
    const { beforeKg, afterKg } = preview.newest;
    expect(beforeKg).toBeCloseTo((afterKg - 0.3) / 0.95, 3);
    const daysOf = async (side: "beforeL" | "afterL") => {
      const empty = { correction: { ...wish(rig).correction }, counted: wish(rig).counted };
      const now = await rig.watch.previewCorrection(empty);
      return now.buckets[0]!.days.map((day) => [day.day, day[side]]);
    };
    const promised = preview.buckets[0]!.days.map(({ day, afterL }) => [day, afterL]);
    correct(rig);
    await rig.watch.settled();
    const come = await daysOf("beforeL");
    expect(come.map(([day]) => day)).toEqual(promised.map(([day]) => day));
    // What is stored is rounded to tenths of a gram every ten minutes.
    for (const [index, [, volumeL]] of come.entries()) {
      expect(Math.abs(Number(volumeL) - Number(promised[index]![1]))).toBeLessThan(0.0025);
    }
    // The flow of sap was 5 % too great: 300 g/h for 20 h and 200 g/h for 39 h are 13.7 L.
    expect(preview.buckets[0]!.afterL).toBeGreaterThan(13.3);
    expect(preview.buckets[0]!.afterL).toBeLessThan(14);
    expect(preview.buckets[0]!.beforeL / preview.buckets[0]!.afterL).toBeCloseTo(1 / 0.95, 2);
  },
  slow,
);

it(
  "corrects a part of the season alone, and lets the one made later hold",
  async () => {
    const rig = await yardOf(wrong);
    const midMs = fromMs + 30 * hour;
    const cellKey = rig.stores.boards.findCell("hill", "cell-1")!.key;
    const massAt = (atMs: number) =>
      rig.stores.readings.listReadings({ cellKey, fromMs: atMs, untilMs: atMs + 60_000 })[0]!.massG;
    const lastMs = fromMs + 50 * hour;
    const [midWrongG, lastWrongG] = [massAt(midMs), massAt(lastMs)];
    correct(rig, { untilMs: midMs + hour });
    expect(massAt(midMs)).not.toBe(midWrongG);
    expect(massAt(lastMs)).toBe(lastWrongG);
    const rightG = massAt(midMs);
    const second = rig.stores.corrections.insert({
      ...wish(rig).correction,
      countsPerG: 2 * right.countsPerG,
      madeMs: startMs,
    });
    expect(massAt(midMs)).toBeCloseTo(rightG / 2, 0);
    rig.stores.corrections.remove(second.id);
    expect(massAt(midMs)).toBe(rightG);
  },
  slow,
);

it("leaves weights that came without counts as they are, and counts them", async () => {
  const rig = openRig();
  hang(rig, { label: "Gate", cell: "hill/cell-1", fromMs });
  const bare = filling({ fromMs, hours: 1, flowGPerH: 300 }).map((sample) => ({
    ...sample,
    counts: null,
  }));
  const counted = weighedWith(
    wrong,
    filling({ fromMs: fromMs + hour, hours: 1, flowGPerH: 300, startG: 300 }),
  );
  keep(rig, [...bare, ...counted]);
  await rig.watch.settled();
  const preview = await rig.watch.previewCorrection(wish(rig));
  expect(preview).toMatchObject({ readings: 240, withoutCounts: 120 });
  correct(rig);
  const cellKey = rig.stores.boards.findCell("hill", "cell-1")!.key;
  const now = rig.stores.readings.listReadings({ cellKey, fromMs, untilMs: startMs });
  expect(now.slice(0, 120).map(({ massG }) => massG)).toEqual(
    bare.map(({ massG }) => Math.round(massG * 10) / 10),
  );
  expect(now[120]!.massG).toBeCloseTo(1_100, 1);
});
