// What there is to know of the server itself, for its page, its figures and its alarms.
import { statfsSync, statSync } from "node:fs";
import type { Clock } from "../../shared/clock.ts";
import type { Care } from "../../shared/wire/care.ts";
import type { Boards } from "../db/boards.ts";
import { storeFile } from "../db/open.ts";
import type { CareSituation } from "../domain/alarms/care-rules.ts";
import type { Allowance } from "../ingest/allowance.ts";
import type { Intake } from "../ingest/intake.ts";
import type { Tls } from "../tls.ts";
import type { Backups } from "./backups.ts";
import type { ClockWatch } from "./clock-watch.ts";

export type CareParts = {
  clock: Clock;
  version: string;
  boards: Pick<Boards, "listBoards">;
  backups: Backups;
  clocks: ClockWatch;
  dataFolder: string;
  tls: Pick<Tls, "untilMs"> | undefined;
  /** A made-up yard on a clock that runs fast has neither daily backups nor clocks to compare. */
  simulated: boolean;
  allowance: Pick<Allowance, "tooFast">;
  /** Whom notices didn't reach in the end. */
  unreached(): { name: string; channel: string }[];
};

export type CareDesk = {
  situation(): CareSituation;
  view(waiting: ReturnType<Intake["counts"]>): Care;
};

export function createCareDesk(parts: CareParts): CareDesk {
  const { clock, backups, clocks, simulated } = parts;
  const certificateUntilMs = parts.tls?.untilMs ?? null;
  const startedAtMs = clock.nowMs();
  const aheadMs = (board: string) => (simulated ? null : clocks.aheadMs(board));
  return {
    situation() {
      const { lastAtMs, problem } = backups.state();
      return {
        backup: simulated ? null : { lastAtMs, problem, sinceMs: startedAtMs },
        certificateUntilMs,
        unreached: parts.unreached(),
        tooFast: parts.allowance.tooFast(),
        clocks: parts.boards.listBoards().map(({ name }) => ({
          board: name,
          aheadMs: aheadMs(name),
        })),
      };
    },
    view: ({ waitingPacks }) => ({
      version: parts.version,
      node: process.versions.node,
      nowMs: clock.nowMs(),
      startedAtMs,
      certificateUntilMs,
      disk: {
        freeBytes: freeBytes(parts.dataFolder),
        storeBytes: bytesOf(storeFile(parts.dataFolder)),
      },
      backups: { ...backups.state(), daily: !simulated },
      boards: parts.boards.listBoards().map(({ name, online, lastHeardMs }) => ({
        name,
        online,
        lastHeardMs,
        clockAheadMs: aheadMs(name),
      })),
      waitingPacks,
    }),
  };
}

function bytesOf(file: string): number | null {
  return statSync(file, { throwIfNoEntry: false })?.size ?? null;
}

/** Room left where a folder lies; null when it can't be told. */
export function freeBytes(folder: string): number | null {
  try {
    const { bavail, bsize } = statfsSync(folder);
    return bavail * bsize;
  } catch {
    return null;
  }
}
