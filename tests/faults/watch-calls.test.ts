// Every statement of the watch fails once in turn: what it makes of the readings comes out the same, and nobody is told twice or never.
import { afterEach, expect, it, vi } from "vitest";
import type { YardChange } from "../../shared/wire/live.ts";
import { contentOf, createFailingSql, type Failing } from "../helpers/failing-calls.ts";
import { startMs } from "../helpers/store-rig.ts";
import {
  commit,
  filling,
  hang,
  openWatchRig,
  type Sample,
  type WatchRig,
} from "../helpers/watch-rig.ts";

const hourMs = 3_600_000;
const cell = "hill/cell-1";
let failing: Failing | undefined;
let rig: WatchRig | undefined;
afterEach(() => {
  failing?.restore();
  failing = undefined;
  rig?.watch.stop();
  rig?.stores.close();
  rig = undefined;
  vi.useRealTimers();
});

/** A reading in two minutes tells enough, and takes less. */
const sparse = (samples: Sample[]) => samples.filter((_, at) => at % 4 === 0);
function openRig(): WatchRig {
  rig = openWatchRig();
  return rig;
}

const beganMs = startMs - 5 * hourMs;
const before = sparse(filling({ fromMs: beganMs, hours: 4, flowGPerH: 1700 }));
/** Comes late, from before a checkpoint. */
const late = before.splice(7, 10);
const emptied: Sample[] = [
  ...[0, 1, 2].map((at) => ({ atMs: startMs - hourMs + at * 30_000, massG: 5, airC: 6 })),
  ...sparse(filling({ fromMs: startMs - 0.95 * hourMs, hours: 0.9, flowGPerH: 200, startG: 40 })),
];
const steps: Sample[][] = [before, late, emptied];

/** Gives the watch its readings in turn; each is committed, whatever becomes of the watch. */
async function live(number: number) {
  vi.useFakeTimers({ toFake: ["setInterval"], now: startMs });
  const own = openRig();
  hang(own, { label: "Well", cell, capacityL: 8.2, fromMs: beganMs });
  failing = createFailingSql(own.stores.sqlite);
  own.watch.start();
  await own.watch.settled();
  failing.arm(number);
  const looked = () => vi.advanceTimersByTime(2000);
  for (const samples of steps) {
    own.clock.set((samples.at(-1)?.atMs ?? 0) + 1000);
    failing.aside(() => commit(own, cell, samples));
    await own.watch.settled();
    looked();
  }
  const failed = failing.disarm();
  await own.watch.settled();
  looked();
  const told = {
    content: contentOf(own.stores.sqlite),
    notices: own.notices,
    notes: [...own.notes].filter(([, note]) => note !== undefined),
    open: own.watch.yardView().alarms,
  };
  own.watch.stop();
  own.stores.close();
  failing.restore();
  rig = undefined;
  failing = undefined;
  return { failed, told };
}

/** Each takes a while: set BRIMFUL_CALL_STEP=1 to let every one of some 400 fail in turn. */
const step = Number(process.env["BRIMFUL_CALL_STEP"] ?? "7");

it("slots, events, days, gatherings, alarms and notices come out as if nothing had failed", async () => {
  const usual = await live(Number.POSITIVE_INFINITY);
  expect(usual.told.notices).toHaveLength(1);
  for (let number = 1; ; number += step) {
    const { failed, told } = await live(number);
    expect({ number, failed, told }).toEqual({ number, failed, told: usual.told });
    if (failed === undefined) return expect(number).toBeGreaterThan(300);
  }
}, 600_000);

it("a page that could not be told something hears of it with the next change", async () => {
  const own = openRig();
  hang(own, { label: "Well", cell, capacityL: 8.2, fromMs: beganMs });
  commit(own, cell, emptied);
  await own.watch.settled();
  const heard: YardChange[] = [];
  own.watch.onChange((change) => heard.push(change));
  failing = createFailingSql(own.stores.sqlite);
  for (let number = 1; ; number += 1) {
    heard.length = 0;
    failing.arm(number);
    own.watch.pause(startMs + number);
    // Told, or noted as not told: one of the two each time.
    const said = () => heard.length + own.log.lines.filter(isUntold).length;
    await expect.poll(said, { timeout: 10_000, interval: 5 }).toBe(number);
    const failed = failing.disarm();
    if (failed === undefined) return expect(number).toBeGreaterThan(5);
    own.watch.boardChanged("hill");
    await expect.poll(() => heard.length, { timeout: 10_000, interval: 5 }).toBe(1);
    expect(heard[0]?.yard?.pausedUntilMs).toBe(startMs + number);
  }
}, 60_000);

const isUntold = ({ event }: { event: string }) => event === "pages not told";
