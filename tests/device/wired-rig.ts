// A wired board on a soft one, all its time ten times as fast, with calibrations in a temporary folder.
import { onTestFinished } from "vitest";
import { parseBoards } from "../../device/boards-file.ts";
import { createSoftBoard } from "../../device/link/soft-board.ts";
import { openCalibrations } from "../../device/scale/calibration-file.ts";
import { createWiredBoard } from "../../device/wired-board.ts";
import { createSoftChips, until, wait } from "./link/soft-rig.ts";
import { recordingLog, temporaryFolder } from "./rig.ts";

export const steadyMs = () => performance.now() * 10;

export const description = {
  name: "hill",
  port: "soft",
  cells: [0, 1, 2, 3, 4, 5, 6, 7].map((channel) => ({ cell: `cell-${channel + 1}`, channel })),
  thermometer: { chip: "mcp9808" },
  lampPin: 7,
};

export async function openWired() {
  const chips = createSoftChips(steadyMs);
  const soft = createSoftBoard(chips.bus);
  const boards = parseBoards(JSON.stringify({ boards: [description] }));
  if (!boards.ok) throw new Error(boards.problem);
  const calibrations = openCalibrations(temporaryFolder());
  const log = recordingLog();
  const board = createWiredBoard({
    description: boards.value[0]!,
    dial: soft.dial,
    log,
    calibrations,
    nowMs: steadyMs,
    steadyMs,
    wait,
    timeoutMs: 200,
    askMs: 100,
    waits: { leastWaitMs: 20, mostWaitMs: 50 },
  });
  onTestFinished(() => board.stop());
  await board.start();
  await until(board.link.isUp);
  return { board, soft, chips, calibrations, log };
}
