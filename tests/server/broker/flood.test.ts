// Tests that who sends too much, or opens too many connections, waits and is named, and that nobody else does.
import { once } from "node:events";
import { connect, type Socket } from "node:net";
import { afterEach, expect, it } from "vitest";
import { createAllowance } from "../../../server/ingest/allowance.ts";
import { connectTo, startEmbedded } from "../../helpers/mqtt-rig.ts";
import { openRig, packText, startMs } from "../../helpers/store-rig.ts";

const undoing: (() => unknown)[] = [];
afterEach(async () => {
  for (const undo of undoing.splice(0).reverse()) await undo();
});

it("one that floods waits for its acknowledgements, others don't, and all of it is stored", async () => {
  const rig = openRig();
  const allowance = createAllowance({
    clock: { speed: 1, nowMs: () => Date.now() },
    mostBytes: 60_000,
    bytesPerS: 100_000,
  });
  const { broker } = await startEmbedded(rig, { allowance });
  undoing.push(() => broker.stop());
  const [flooding, calm] = [await connectTo(broker.url()), await connectTo(broker.url())];
  undoing.push(
    () => flooding.endAsync(true),
    () => calm.endAsync(true),
  );
  const acknowledged: string[] = [];
  const send = (client: typeof calm, board: string, batch: number) =>
    client
      .publishAsync(
        `brimful/1/${board}/readings`,
        packText({ board, batch, atMs: startMs - batch * 1000 }),
        { qos: 1 },
      )
      .then(() => acknowledged.push(board));
  const flood = Array.from({ length: 200 }, (_, at) => send(flooding, "hill", at + 1));
  await flood[0];
  for (let batch = 1; batch <= 20; batch += 1) await send(calm, "dale", batch);
  const before = acknowledged.lastIndexOf("dale");
  await Promise.all(flood);
  expect(acknowledged.lastIndexOf("hill")).toBeGreaterThan(before);
  expect(acknowledged.slice(0, before).filter((board) => board === "hill").length).toBeLessThan(
    150,
  );
  expect(allowance.tooFast()).toEqual(["hill"]);
  expect(rig.spools.through("hill", "a1")).toBe(200);
  expect(rig.spools.through("dale", "a1")).toBe(20);
  expect(rig.log.lines.filter(({ event }) => event.startsWith("slowed down"))).toMatchObject([
    { fields: { name: "hill" } },
  ]);
});

it("what may not be published at all is slowed down too", async () => {
  const taken: string[] = [];
  const allowance = { take: (speaker: string) => taken.push(speaker) * 0 };
  const { broker } = await startEmbedded(openRig(), { allowance });
  undoing.push(() => broker.stop());
  const client = await connectTo(broker.url());
  undoing.push(() => client.endAsync(true));
  await client.publishAsync("elsewhere", "x", { qos: 1 });
  expect(taken).toEqual(["this machine"]);
});

async function open(url: string): Promise<Socket> {
  const { hostname, port } = new URL(url);
  const socket = connect(Number(port), hostname).on("error", () => undefined);
  undoing.push(() => socket.destroy());
  await once(socket, "connect");
  return socket;
}

it("connections beyond the limit are ended at once, and one that ends makes room", async () => {
  const rig = openRig();
  const connectionLimits = { most: 5, mostFromOne: 3 };
  const { broker } = await startEmbedded(rig, { connectionLimits });
  undoing.push(() => broker.stop());
  const held = [await open(broker.url()), await open(broker.url()), await open(broker.url())];
  const fourth = await open(broker.url());
  if (!fourth.destroyed) await once(fourth, "close");
  expect(held.map(({ destroyed }) => destroyed)).toEqual([false, false, false]);
  expect(rig.log.lines).toMatchObject([{ event: "connection refused, too many are open" }]);
  held[0]!.destroy();
  await expect
    .poll(() =>
      connectTo(broker.url()).then(
        (client) => client.endAsync(true).then(() => true),
        () => false,
      ),
    )
    .toBe(true);
});
