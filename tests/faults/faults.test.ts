// Every fault once, in an order that a seed gives, while boards publish: nothing that was made is lost or doubled.
import { existsSync } from "node:fs";
import { setTimeout as delay } from "node:timers/promises";
import { afterEach, expect, it } from "vitest";
import { createRandom } from "../helpers/random.ts";
import { faultsFor, leftOut } from "./inflict.ts";
import { type Stage, type StageOrder, setStage, settle } from "./stage.ts";

let stage: Stage | undefined;
afterEach(async () => {
  await stage?.end();
  stage = undefined;
});

function smallOrder(broker: StageOrder["broker"]): StageOrder {
  return {
    plan: { originMs: Date.now(), stepMs: 50, boards: ["hill", "dale", "pond"], cells: 4 },
    broker,
    patienceMs: 2000,
    segmentBytes: 8000,
    diskMb: 200,
  };
}

/** Behind another broker only what meets that way of messages; the rest is the same with the own one. */
const withMosquitto = /^(broker|link|server (killed|stopped)$|board killed$|older backup)/;

async function inflictAll(order: StageOrder, seed: number): Promise<Stage> {
  const set = await setStage(order);
  stage = set;
  for (const why of leftOut(set)) process.stdout.write(`NOTICE: left out, ${why}\n`);
  const { uniform: random } = createRandom(seed);
  const faults = [...faultsFor(set)]
    .filter(([name]) => order.broker === "embedded" || withMosquitto.test(name))
    .map(([name, inflict]) => ({ name, inflict, at: random() }));
  for (const { inflict } of faults.sort((a, b) => a.at - b.at)) {
    await delay(100 + 400 * random());
    await inflict({ stage: set, random });
  }
  return set;
}

const seed = Number(process.env["BRIMFUL_SEED"] ?? "1");

for (const broker of ["embedded", "mosquitto"] as const) {
  it(`with the broker ${broker} nothing is lost or doubled, whatever is killed, torn, full or cut off`, async (context) => {
    if (broker === "mosquitto" && !existsSync("/usr/sbin/mosquitto")) {
      return context.skip("not proved here: Mosquitto is absent");
    }
    const set = await inflictAll(smallOrder(broker), seed);
    const isSettled = await settle(set, 120_000);
    await set.server.stop();
    const compared = set.ledger.compare(set.storeFile);
    expect(set.crashes).toEqual([]);
    expect(compared).toMatchObject({ lost: 0, doubled: 0, lostByOutbox: 0, givenUp: 0 });
    expect(isSettled).toBe(true);
    expect(compared.made).toBeGreaterThan(1000);
  }, 300_000);
}
