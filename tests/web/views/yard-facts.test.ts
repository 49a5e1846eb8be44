// The line under the sentence, and what an empty yard is told to do.
import { expect, it } from "vitest";
import { boardCommand, yardFacts } from "../../../web/views/yard-view.tsx";
import { sampleBucket, samplePage, sampleYard } from "../sample-yard.ts";

it("adds up what hangs and leaves parked pails out", () => {
  const buckets = [
    sampleBucket(),
    sampleBucket({ id: "b", volumeL: null, todayL: null, state: "silent" }),
    sampleBucket({ id: "c", volumeL: 5, state: "parked" }),
  ];
  const page = samplePage({ yard: sampleYard({ buckets }) });
  expect(yardFacts(page)).toEqual(["today 15:40", "6.0 L in 2 pails", "4.0 L run today"]);
});

it("a board elsewhere is told this server's address, one here needs none", () => {
  expect(boardCommand("localhost")).toBe("npm run board -- --simulated");
  expect(boardCommand("192.0.2.7")).toBe(
    "BRIMFUL_MQTT_HOST=192.0.2.7 npm run board -- --simulated",
  );
});
