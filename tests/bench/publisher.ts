// A process of its own that publishes packs of ten readings as fast as they are acknowledged, until all are kept.
import { setTimeout as delay } from "node:timers/promises";
import { connectAsync } from "mqtt";
import { boardTopic, keptSchema } from "../../shared/wire/topics.ts";
import { packOf } from "./packs.ts";

const [url = "", board = "", packText = "0", mostUnkeptText = "Infinity"] = process.argv.slice(2);
const packs = Number(packText);
/** A broker between drops what it cannot queue: Mosquitto, as it comes, above 1,000 messages. */
const mostUnkept = Number(mostUnkeptText);
const windowPacks = 200;

async function run(): Promise<void> {
  const client = await connectAsync(url, { clientId: `bench-${board}` });
  let through = 0;
  const allKept = new Promise<void>((resolve) => {
    client.on("message", (_topic, payload) => {
      through = keptSchema.parse(JSON.parse(payload.toString())).through;
      if (through >= packs) resolve();
    });
  });
  await client.subscribeAsync(boardTopic(board, "kept"), { qos: 1 });
  const payloads = Array.from({ length: packs }, (_, index) => packOf(board, index + 1));
  let sent = 0;
  const startMs = performance.now();
  await Promise.all(
    Array.from({ length: windowPacks }, async () => {
      for (let next = payloads[sent]; next !== undefined; next = payloads[sent]) {
        sent += 1;
        while (sent - through > mostUnkept) await delay(1);
        await client.publishAsync(boardTopic(board, "readings"), next, { qos: 1 });
      }
    }),
  );
  await allKept;
  process.stdout.write(JSON.stringify({ seconds: (performance.now() - startMs) / 1000 }));
  await client.endAsync();
}

await run();
