// The line under the sentence.
import { expect, it } from "vitest";
import { yardFacts } from "../../../web/views/yard-view.tsx";
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
