// The one sentence on top: what to do now and by when.
import { doNowSentence } from "../../shared/people/sentence.ts";
import type { PageFrame } from "../page-frame.ts";
import { labelOfBucket } from "../page-frame.ts";

export function Sentence({ page }: { page: PageFrame }) {
  const { parts } = page.yard.doNow;
  const words = doNowSentence(parts, {
    units: page.units,
    timeZone: page.timeZone,
    nowMs: page.nowMs,
    vesselLabelOf: (vesselId) =>
      page.yard.vessels.find(({ id }) => id === vesselId)?.label ?? vesselId,
    labelOf: (bucketId) => labelOfBucket(page.yard, bucketId),
  });
  const calls = parts.some(({ verb }) => verb !== "wait");
  return (
    <p class={calls ? "sentence is-calling" : "sentence"} role="status">
      {withUnitsKept(words)}
    </p>
  );
}

/** A figure and its unit stay on one line. */
function withUnitsKept(words: string): string {
  return words.replace(/(\d) (L|gal)\b/g, "$1\u00a0$2");
}
