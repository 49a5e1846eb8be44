// What came late is gone through also when the server ended before it came to it.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, it } from "vitest";
import { createIntake } from "../../../server/ingest/intake.ts";
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

const hourMs = 3_600_000;
const undoing: (() => void)[] = [];
afterEach(() => {
  for (const undo of undoing.splice(0).reverse()) undo();
});

function openRig(folder?: string): WatchRig {
  const rig = openWatchRig(folder);
  undoing.push(() => {
    rig.watch.stop();
    if (rig.stores.sqlite.open) rig.stores.close();
  });
  return rig;
}

const samples = filling({
  fromMs: startMs - 30 * hourMs,
  hours: 30,
  flowGPerH: 200,
  noise: createRandom(5).gaussian,
});

type What = { mass?: boolean; air?: boolean };

function packOf(some: readonly Sample[], { mass = true, air = true }: What): string {
  const records = some.flatMap(({ atMs, massG, airC }) => [
    ...(mass ? [{ n: "cell-1/mass", u: "kg", t: atMs / 1000, v: massG / 1000 }] : []),
    ...(air ? [{ n: "probe/air", u: "Cel", t: atMs / 1000, v: airC }] : []),
  ]);
  const [first, ...rest] = records;
  return JSON.stringify([{ bn: "hill/", ...first }, ...rest]);
}

/** As boards send them, in packs of half an hour; with `deaf`, the watch doesn't come to hear of it. */
async function send(rig: WatchRig, some: readonly Sample[], what: What & { deaf?: boolean } = {}) {
  const intake = createIntake({
    ...rig.stores,
    clock: rig.clock,
    log: rig.log,
    onCommitted: (batch) => (what.deaf === true ? undefined : rig.watch.committed(batch)),
    onPresence: () => undefined,
    publishKept: () => undefined,
  });
  for (let from = 0; from < some.length; from += 60) {
    const payload = packOf(some.slice(from, from + 60), what);
    const { refusals, problem } = await intake.accept({ board: "hill", payload, source: "test" });
    expect([refusals, problem]).toEqual([[], undefined]);
  }
  if (what.deaf !== true) await rig.watch.settled();
}

const marks = (rig: WatchRig) => rig.stores.late.list();

async function inOrder(): Promise<WatchRig> {
  const rig = openRig();
  hang(rig, { label: "Gate", cell: "hill/cell-1" });
  await send(rig, samples);
  expect(marks(rig)).toEqual([]);
  return rig;
}

const [early, missing, newer] = [
  samples.slice(0, 900),
  samples.slice(900, 1200),
  samples.slice(1200),
];

it.each<[string, (rig: WatchRig) => Promise<void>, WatchMark]>([
  [
    "weights",
    async (rig) => {
      await send(rig, [...early, ...newer]);
      await send(rig, missing, { deaf: true });
    },
    "cell",
  ],
  [
    "temperatures",
    async (rig) => {
      await send(rig, early);
      await send(rig, missing, { air: false });
      await send(rig, newer);
      await send(rig, missing, { mass: false, deaf: true });
    },
    "board",
  ],
])(
  "late %s that were stored just before the end are gone through at the next start",
  async (_, live, of) => {
    const expected = derived(await inOrder());
    const folder = mkdtempSync(join(tmpdir(), "brimful-late-"));
    undoing.push(() => rmSync(folder, { recursive: true }));
    const before = openRig(folder);
    hang(before, { label: "Gate", cell: "hill/cell-1" });
    await before.watch.settled();
    await live(before);
    const fromMs = missing[0]!.atMs;
    const cellKey = before.stores.boards.findCell("hill", "cell-1")?.key;
    expect(marks(before)).toContainEqual({
      board: "hill",
      cellKey: of === "cell" ? cellKey : undefined,
      fromMs,
    });
    before.watch.stop();
    before.stores.close();
    const after = openRig(folder);
    after.watch.start();
    await after.watch.settled();
    expect(derived(after)).toEqual(expected);
    expect(marks(after)).toEqual([]);
  },
);

type WatchMark = "cell" | "board";

it("what came late and was gone through leaves no mark", async () => {
  const rig = openRig();
  hang(rig, { label: "Gate", cell: "hill/cell-1" });
  await send(rig, [...early, ...newer]);
  await send(rig, missing);
  expect(marks(rig)).toEqual([]);
  expect(derived(rig)).toEqual(derived(await inOrder()));
});
