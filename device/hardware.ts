// Makes the wired boards of the board program: links, calibrations, orders and lamps, one of each to a board.
import { join } from "node:path";
import type { BoardDescription } from "./boards-file.ts";
import { type AlarmLamp, createAlarmLamp } from "./lamp.ts";
import type { Dial } from "./link/dial.ts";
import { createSerialDial } from "./link/serial.ts";
import { createTcpDial } from "./link/tcp.ts";
import type { Log } from "./log.ts";
import type { OpenLink } from "./mqtt-link.ts";
import { createOrders } from "./orders.ts";
import type { ProgramBoard } from "./program.ts";
import { type CalibrationStore, openCalibrations } from "./scale/calibration-file.ts";
import { createWiredBoard, type WiredBoard } from "./wired-board.ts";

export type HardwareBoard = {
  description: BoardDescription;
  wired: WiredBoard;
  calibrations: CalibrationStore;
  lamp: AlarmLamp | undefined;
};

export type HardwareSettings = {
  dataFolder: string;
  log: Log;
  nowMs: () => number;
  /** Another way to the boards than the described one. */
  dialOf?: (description: BoardDescription) => Dial;
  calibrationsOf?: (folder: string) => CalibrationStore;
};

export function wait(forMs: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, forMs));
}

/** A radio link may take longer than a wire. */
const timeoutMs = { serial: 1_000, network: 3_000 };

/** Throws AppError when a calibration can't be read. */
export function createHardware(
  descriptions: readonly BoardDescription[],
  settings: HardwareSettings,
): HardwareBoard[] {
  return descriptions.map((description) => {
    const calibrations = (settings.calibrationsOf ?? openCalibrations)(
      join(settings.dataFolder, description.name),
    );
    const wired = createWiredBoard({
      description,
      dial: (settings.dialOf ?? dialFrom)(description),
      log: settings.log,
      calibrations,
      nowMs: settings.nowMs,
      steadyMs: () => performance.now(),
      wait,
      timeoutMs: description.host === undefined ? timeoutMs.serial : timeoutMs.network,
    });
    const { lampPin } = description;
    const lamp = lampPin === undefined ? undefined : createAlarmLamp(wired.link.lamp(lampPin));
    return { description, wired, calibrations, lamp };
  });
}

function dialFrom({ port, host }: BoardDescription): Dial {
  if (host !== undefined) return createTcpDial(host);
  return createSerialDial(port ?? "");
}

/** What the program needs of a wired board beside its windows. */
export function programBoardFrom(
  { wired, calibrations, lamp }: HardwareBoard,
  { nowMs, openLink }: { nowMs: () => number; openLink: OpenLink },
): ProgramBoard {
  return {
    name: wired.name,
    source: wired.source,
    openLink,
    obey: createOrders({ board: wired, calibrations, lamp, nowMs }),
    ...(lamp === undefined ? {} : { onAlarm: lamp.hear }),
  };
}
