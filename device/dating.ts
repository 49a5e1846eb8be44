// Dates readings while the machine's clock can't be believed: they get a time that only rises, and
// their true one, or their age, is told when they are sent.
import type { BatchBody } from "./pack.ts";

export type Dating = {
  /** The clock where it is believed; else a time that goes on from the newest reading. */
  nowMs(): number;
  /** Looks at the clock; true when it is believed. */
  look(): boolean;
  /** Marks a batch made while the clock wasn't believed. */
  stamp(body: BatchBody): BatchBody;
  /** What such a batch says on the wire now: its true time, or its age while that is unknown. */
  restate(body: BatchBody): BatchBody;
};

export type DatingSettings = {
  systemMs: () => number;
  /** Since the machine started; runs on whatever the clock does. */
  upMs: () => number;
  /** Names this start of the machine; its uptime says nothing in another. */
  boot: string;
  /** Time of the newest reading there is. */
  newestMs: number | undefined;
  problem: (signs: { nowMs: number; newestMs: number | undefined }) => string | undefined;
};

/** Below this a SenML time is relative to now (RFC 8428, section 4.5.3); about 8.5 years. */
const relativeLimitS = 2 ** 28;

export function createDating(settings: DatingSettings): Dating {
  const { systemMs, upMs, boot, newestMs, problem } = settings;
  const startUpMs = upMs();
  const startMs = Math.max(systemMs(), (newestMs ?? 0) + 1);
  let believed = problem({ nowMs: systemMs(), newestMs }) === undefined;
  const provisionalMs = () => startMs + (upMs() - startUpMs);

  return {
    nowMs: () => (believed ? systemMs() : provisionalMs()),
    look() {
      believed ||= problem({ nowMs: systemMs(), newestMs }) === undefined;
      return believed;
    },
    stamp(body) {
      if (believed) return body;
      // By how much the provisional time of this batch is ahead of the uptime.
      return { ...body, undated: { boot, aheadMs: provisionalMs() - upMs() } };
    },
    restate(body) {
      const { undated, ...dated } = body;
      // After a power cut its provisional time is the best there is.
      if (undated?.boot !== boot) return dated;
      const madeUpMs = body.baseS * 1000 - undated.aheadMs;
      const ageS = (upMs() - madeUpMs) / 1000;
      if (believed) return moved(dated, systemMs() / 1000 - ageS);
      // In relative times 0 stands for now, so the sum of base and t must stay below that.
      return ageS < relativeLimitS ? moved(dated, -ageS) : dated;
    },
  };
}

/** To the ms: what is finer would only lengthen the pack. */
function moved(body: BatchBody, toBaseS: number): BatchBody {
  return { ...body, baseS: Math.round(toBaseS * 1000) / 1000 };
}
