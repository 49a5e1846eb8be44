// A board that sends too much through a Mosquitto, where none can be made to wait: others are stored, it is named, and nothing is lost.
import { afterEach, expect, it } from "vitest";
import { createExternalBroker } from "../../../server/broker/external.ts";
import { createAllowance } from "../../../server/ingest/allowance.ts";
import { startMosquitto } from "../../helpers/mqtt-mosquitto.ts";
import { connectTo, inboxOf } from "../../helpers/mqtt-rig.ts";
import { openRig, packText, startMs } from "../../helpers/store-rig.ts";

const undoing: (() => unknown)[] = [];
afterEach(async () => {
  for (const undo of undoing.splice(0).reverse()) await undo();
});

it("what is beyond its allowance is left out unread, and stored once when it is sent again later", async () => {
  const rig = openRig();
  const mosquitto = await startMosquitto();
  undoing.push(() => mosquitto.stop());
  const allowance = createAllowance({ clock: rig.clock, mostBytes: 60_000, bytesPerS: 1000 });
  const { inbox } = inboxOf(rig);
  const own = { url: mosquitto.url, clientId: "brimful-test", keptNotes: () => [] };
  const broker = createExternalBroker({ ...rig, ...own, inbox, allowance });
  await broker.start();
  undoing.push(() => broker.stop());
  const client = await connectTo(mosquitto.url);
  undoing.push(() => client.endAsync(true));
  const send = (board: string, batch: number) =>
    client.publishAsync(
      `brimful/1/${board}/readings`,
      packText({ board, batch, atMs: startMs - batch * 1000 }),
      { qos: 1 },
    );
  const numbers = Array.from({ length: 200 }, (_, at) => at + 1);
  for (const batch of numbers) {
    await send("hill", batch);
    if (batch % 10 === 0) await send("dale", batch / 10);
  }
  await expect.poll(() => rig.spools.through("dale", "a1")).toBe(20);
  const through = rig.spools.through("hill", "a1");
  expect(through).toBeGreaterThan(40);
  expect(through).toBeLessThan(60);
  expect(allowance.leftOut()).toBe(200 - through);
  expect(allowance.tooFast()).toEqual(["hill"]);
  const told = rig.log.lines.filter(({ event }) => event.startsWith("left out"));
  expect(told).toMatchObject([{ fields: { name: "hill" } }]);
  // As a board does that hears no more of what is kept.
  for (let from = through; from < 200; from = rig.spools.through("hill", "a1")) {
    rig.clock.advance(60_000);
    for (const batch of numbers.slice(from)) await send("hill", batch);
    await expect.poll(() => rig.spools.through("hill", "a1")).toBeGreaterThan(from);
    await send("dale", 21 + from);
    await expect
      .poll(() =>
        rig.spools.isSettled({ board: "dale", spool: "a1", batch: 21 + from, skipped: 0 }),
      )
      .toBe(true);
  }
  expect(
    rig.sqlite
      .prepare("SELECT count(*) FROM reading WHERE cell_key = ?")
      .pluck()
      .get(rig.boards.findCell("hill", "cell-1")?.key),
  ).toBe(200);
});
