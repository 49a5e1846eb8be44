// Tests a server that starts with an old time: what boards send from after that waits, and none of it is lost.
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { createClockSign } from "../../../server/care/clock-sign.ts";
import { createIntake } from "../../../server/ingest/intake.ts";
import { openRig, packText, startMs } from "../../helpers/store-rig.ts";

const hourMs = 3_600_000;
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "brimful-timesync-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

function openIntake(isClockBelieved: () => boolean) {
  const rig = openRig();
  const unheard = { onCommitted: () => undefined, onPresence: () => undefined };
  const intake = createIntake({
    ...rig,
    ...unheard,
    publishKept: () => undefined,
    isClockBelieved,
  });
  const accept = (text: string) => intake.accept({ board: "hill", payload: text, source: "test" });
  return { ...rig, accept };
}

it("a pack from hours after the server's time is not settled until the clock was set, then stored", async () => {
  let isBelieved = false;
  const { accept, spools, clock, log, rejected } = openIntake(() => isBelieved);
  await accept(packText({ batch: 1, atMs: startMs - 1000 }));
  const later = packText({ batch: 2, atMs: startMs + 5 * hourMs });
  await expect(accept(later)).rejects.toMatchObject({ code: "clock-unset" });
  await expect(accept(later)).rejects.toThrow(
    /got a pack of hill 300 min ahead of one that isn't$/,
  );
  expect(spools.through("hill", "a1")).toBe(1);
  expect(rejected.listRejected(9)).toEqual([]);
  expect(log.lines).toMatchObject([{ event: "held until the clock is set from the network" }]);
  clock.advance(5 * hourMs);
  isBelieved = true;
  expect(await accept(later)).toMatchObject({ stored: 1, refusals: [] });
  expect(spools.through("hill", "a1")).toBe(2);
});

it("with a clock that is believed, and for packs without a number, it is refused as ever", async () => {
  const believing = openIntake(() => true);
  const later = { atMs: startMs + 5 * hourMs };
  expect((await believing.accept(packText({ batch: 1, ...later }))).refusals).toHaveLength(1);
  expect(believing.spools.through("hill", "a1")).toBe(1);
  const doubting = openIntake(() => false);
  expect((await doubting.accept(packText(later))).refusals).toHaveLength(1);
});

it("a clock is believed where nothing speaks against it, once it was set, or after an hour", () => {
  expect(createClockSign({ folder: join(folder, "none") })()).toBe(true);
  let upMs = 0;
  const sign = createClockSign({ folder, upMs: () => upMs });
  expect(sign()).toBe(false);
  upMs = 61 * 60_000;
  expect(sign()).toBe(true);
  const other = createClockSign({ folder, upMs: () => 0 });
  expect(other()).toBe(false);
  writeFileSync(join(folder, "synchronized"), "");
  expect(other()).toBe(true);
  rmSync(folder, { recursive: true });
  mkdirSync(folder);
  expect(other()).toBe(true);
});
