// One cell on its amplifier: sets it up when it must be, gathers readings, and says why there are none.
import type { Amplifier } from "../chips/amplifier.ts";
import { I2cError } from "../chips/i2c-bus.ts";
import type { CellFault } from "./sampler.ts";

export type CellReader = {
  /** Sets the chip up unless it works; true when it does. */
  prepare(): Promise<boolean>;
  /** Takes a conversion if there is a fresh one; true while more are wanted. */
  gather(): Promise<boolean>;
  /** What came of it, and begins anew. Undefined when the chip is being set up again. */
  finish(): { counts: number[] } | { fault: CellFault } | undefined;
};

const wanted = 10;
/** With fewer than this a window says too little. */
const least = 5;

export function createCellReader(amplifier: Amplifier): CellReader {
  let works = false;
  let fault: CellFault | undefined;
  let lost = false;
  let counts: number[] = [];
  let saturated = 0;

  const fail = (error: unknown): false => {
    if (!(error instanceof I2cError)) throw error;
    // Without its board a cell is as absent as without its amplifier.
    fault = error.problem === "absent" || error.problem === "down" ? "absent" : "stuck";
    // A chip keeps its set-up while its board is away, and tells when it did not.
    if (error.problem !== "down") works = false;
    return false;
  };
  return {
    async prepare() {
      if (works) return true;
      try {
        await amplifier.setUp();
        works = true;
      } catch (error) {
        fail(error);
      }
      return works;
    },
    async gather() {
      if (!works) return false;
      try {
        const conversion = await amplifier.take();
        if (conversion.kind === "lost") {
          works = false;
          lost = true;
          return false;
        }
        if (conversion.kind === "ready") {
          counts.push(conversion.counts);
          if (conversion.saturated) saturated += 1;
        }
        return counts.length < wanted;
      } catch (error) {
        return fail(error);
      }
    },
    finish() {
      const taken = { counts, fault, lost, saturated };
      counts = [];
      saturated = 0;
      fault = undefined;
      lost = false;
      if (taken.fault !== undefined) return { fault: taken.fault };
      if (taken.lost) return undefined;
      if (2 * taken.saturated > taken.counts.length) return { fault: "saturated" };
      if (taken.counts.length >= least) return { counts: taken.counts };
      works = false;
      return { fault: "stuck" };
    },
  };
}
