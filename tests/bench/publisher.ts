// A process of its own that publishes packs of ten readings as fast as they are acknowledged, until all are kept.
import { setTimeout as delay } from "node:timers/promises";
import { connectAsync } from "mqtt";
import { boardTopic, boardTopicParts, keptSchema } from "../../shared/wire/topics.ts";
import { packOf, placeOf } from "./packs.ts";

const [url = "", packText = "0", boardText = "1", mostUnkeptText = "Infinity"] =
  process.argv.slice(2);
const packs = Number(packText);
const boards = Number(boardText);
/** A broker between drops what it cannot queue: Mosquitto, as it comes, above 1,000 messages. */
const mostUnkept = Number(mostUnkeptText);
const windowPacks = 200;

async function run(): Promise<void> {
  const client = await connectAsync(url, { clientId: "bench" });
  const through = new Map<string, number>();
  const keptPacks = () => [...through.values()].reduce((sum, batches) => sum + batches, 0);
  const allKept = new Promise<void>((resolve) => {
    client.on("message", (topic, payload) => {
      const board = boardTopicParts(topic)?.board ?? "";
      through.set(board, keptSchema.parse(JSON.parse(payload.toString())).through);
      if (keptPacks() >= packs) resolve();
    });
  });
  await client.subscribeAsync(
    Array.from({ length: boards }, (_, board) => boardTopic(`bench-${board}`, "kept")),
    { qos: 1 },
  );
  const messages = Array.from({ length: packs }, (_, pack) => messageOf(pack));
  let sent = 0;
  const startMs = performance.now();
  await Promise.all(
    Array.from({ length: windowPacks }, async () => {
      for (let next = messages[sent]; next !== undefined; next = messages[sent]) {
        sent += 1;
        while (sent - keptPacks() > mostUnkept) await delay(1);
        await client.publishAsync(next.topic, next.payload, { qos: 1 });
      }
    }),
  );
  await allKept;
  process.stdout.write(JSON.stringify({ seconds: (performance.now() - startMs) / 1000 }));
  await client.endAsync();
}

function messageOf(pack: number): { topic: string; payload: string } {
  const { board, batch } = placeOf(pack, boards);
  const name = `bench-${board}`;
  return { topic: boardTopic(name, "readings"), payload: packOf(name, batch) };
}

await run();
