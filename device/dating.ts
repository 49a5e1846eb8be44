// Dates readings while the machine's clock can't be believed: they get a time that only rises, and
// their true one, or their age, is told when they are sent.
import { msPerHour, msPerMinute } from "../shared/units.ts";
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
/** Set back by more, a clock was wrong before or is wrong now: the server's tells. */
const mostBackMs = msPerMinute;
/** A clock that starts where the machine went off is behind by less (fake-hwclock saves it each hour; from memory). */
const farAheadMs = msPerHour;

export function createDating(settings: DatingSettings): Dating {
  const { systemMs, upMs, boot, newestMs, problem } = settings;
  /** A time that was given, and the uptime then: from there times go on while the clock isn't believed. */
  let given = { ms: Math.max(systemMs(), (newestMs ?? 0) + 1), upMs: upMs() };
  let believed = problem({ nowMs: systemMs(), newestMs }) === undefined;
  const provisionalMs = () => given.ms + (upMs() - given.upMs);

  function nowMs(): number {
    const ms = systemMs();
    if (believed && ms < given.ms - mostBackMs) believed = false;
    if (!believed) return provisionalMs();
    if (ms > given.ms) given = { ms, upMs: upMs() };
    return ms;
  }

  return {
    nowMs,
    look() {
      nowMs();
      // Only once it is past all times that were given, or they would go back.
      believed ||= problem({ nowMs: systemMs(), newestMs: provisionalMs() }) === undefined;
      return believed;
    },
    stamp(body) {
      if (believed) return body;
      const ms = provisionalMs();
      // By how much the provisional time of this batch is ahead of the uptime, and of the clock.
      return {
        ...body,
        undated: { boot, aheadMs: ms - upMs(), aheadOfClockMs: ms - systemMs() },
      };
    },
    restate(body) {
      const { undated, ...dated } = body;
      if (undated === undefined) return dated;
      if (undated.boot !== boot) return ofAnotherStart(dated, undated);
      const madeUpMs = body.baseS * 1000 - undated.aheadMs;
      const ageS = (upMs() - madeUpMs) / 1000;
      if (believed) return moved(dated, systemMs() / 1000 - ageS);
      // In relative times 0 stands for now, so the sum of base and t must stay below that.
      return ageS < relativeLimitS ? moved(dated, -ageS) : dated;
    },
  };
}

/** After a power cut its provisional time is the best there is, unless a leap of the clock had made it. */
function ofAnotherStart(body: BatchBody, { aheadOfClockMs = 0 }: Undated): BatchBody {
  return aheadOfClockMs > farAheadMs ? moved(body, body.baseS - aheadOfClockMs / 1000) : body;
}

type Undated = NonNullable<BatchBody["undated"]>;

/** To the ms: what is finer would only lengthen the pack. */
function moved(body: BatchBody, toBaseS: number): BatchBody {
  return { ...body, baseS: Math.round(toBaseS * 1000) / 1000 };
}
