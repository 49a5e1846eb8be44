// What the HTTP side is told of a server that fares well, with a copy of a few bytes to take away.
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { HttpParts } from "../../server/http/parts.ts";
import { type Rig, startMs } from "./store-rig.ts";

export function createHandCare(rig: Rig): HttpParts["care"] {
  const state = { folder: "/backups", count: 0, lastAtMs: null, lastBytes: null, problem: null };
  const takeAway = () => {
    const folder = mkdtempSync(join(tmpdir(), "brimful-taken-"));
    const file = join(folder, "brimful.db");
    writeFileSync(file, "a copy");
    return Promise.resolve({ file, remove: () => rmSync(folder, { recursive: true }) });
  };
  const view = () => ({
    version: "1.2.3",
    node: "20.0.0",
    nowMs: rig.clock.nowMs(),
    certificateUntilMs: null,
    startedAtMs: startMs,
    disk: { freeBytes: 5e9, storeBytes: 35e6 },
    backups: { ...state, daily: true },
    boards: [],
    waitingPacks: 0,
  });
  const backups = {
    state: () => state,
    lookAgain: () => undefined,
    backUpNow: () => Promise.resolve(),
    takeAway,
  };
  return { view, backups };
}
