// The board program on the emulated firmware, with eight cells at one reading every five seconds.
import { readFileSync, writeFileSync } from "node:fs";
import { setTimeout as delay } from "node:timers/promises";
import { connectAsync, type MqttClient } from "mqtt";
import { createSoftAmplifier } from "../../device/link/soft-amplifier.ts";
import { createSoftBus, createSoftMux } from "../../device/link/soft-bus.ts";
import { createSoftThermometer } from "../../device/link/soft-thermometer.ts";
import { openCalibrations } from "../../device/scale/calibration-file.ts";
import { boardTopic } from "../../shared/wire/topics.ts";
import { serveUno } from "../device/hardware/uno-rig.ts";
import { type Child, makeFolder, residentMb, startProgram, startServer } from "./child.ts";
import type { Figure } from "./figures.ts";

const channels = [0, 1, 2, 3, 4, 5, 6, 7];
const measureS = 60;
const settleMs = 15_000;
/** What the kernel counts processor time in (sysconf _SC_CLK_TCK), on every Linux. */
const ticksPerS = 100;
const goals = { cpu: 0.05, mb: 80 };

export async function board(): Promise<Figure[]> {
  const folder = makeFolder();
  const server = await startServer(folder.path);
  const hearing = await connectAsync(server.mqttUrl);
  const boardFolder = `${folder.path}/board`;
  const uno = await serveUno({ bus: eightCells, speed: 1, resets: true });
  const boardsFile = prepare(folder.path, boardFolder, uno.port);
  const pluggedMs = performance.now();
  const first = firstMass(hearing);
  const child = startProgram("board.mjs", ["--boards", boardsFile, "--every", "5"], {
    BRIMFUL_BOARD_DATA: boardFolder,
    BRIMFUL_MQTT_URL: server.mqttUrl,
    BRIMFUL_LOG: "error",
  });
  await first;
  const firstS = (performance.now() - pluggedMs) / 1000;
  await delay(settleMs);
  const masses = countMasses(hearing);
  const beforeS = cpuS(child);
  await delay(measureS * 1000);
  const share = (cpuS(child) - beforeS) / measureS;
  const perS = masses() / measureS;
  const mb = residentMb(child);
  await child.stop();
  uno.stop();
  await hearing.endAsync();
  await server.stop();
  folder.remove();
  return [
    {
      name: "board program, eight cells every 5 s on emulated firmware: processor",
      value: `${(100 * share).toFixed(1)} % of one core`,
      goal: { text: "under 5 %", reached: share < goals.cpu },
    },
    {
      name: "the same: memory",
      value: `${mb.toFixed(0)} MB resident`,
      goal: { text: "under 80 MB", reached: mb < goals.mb },
    },
    { name: "the same: readings of one board", value: `${perS.toFixed(2)} a second, each of ten` },
    { name: "from start and plug-in to the first reading", value: `${firstS.toFixed(1)} s` },
  ];
}

function eightCells(nowMs: () => number) {
  const branches = channels.map((channel) => [
    createSoftAmplifier(nowMs, (atMs) => 107.374 * 1_000 * (channel + 1) + (atMs % 70)).slave,
  ]);
  return createSoftBus([createSoftMux(0x70, branches), createSoftThermometer(() => -1.25)]);
}

function prepare(folder: string, boardFolder: string, port: number): string {
  const cells = channels.map((channel) => ({ cell: `cell-${channel + 1}`, channel }));
  const description = {
    name: "hill",
    host: `127.0.0.1:${port}`,
    cells,
    thermometer: { chip: "mcp9808" },
  };
  const path = `${folder}/boards.json`;
  writeFileSync(path, JSON.stringify({ boards: [description] }));
  const calibrations = openCalibrations(`${boardFolder}/hill`);
  for (const { cell } of cells) {
    const record = { zeroCounts: 0, countsPerG: 107.374, calibratedAtMs: 1, knownG: 10_000 };
    calibrations.put(cell, record);
  }
  return path;
}

async function firstMass(client: MqttClient): Promise<void> {
  await client.subscribeAsync(boardTopic("hill", "readings"), { qos: 1 });
  await new Promise<void>((resolve) => {
    client.on("message", (_topic, payload) => {
      if (String(payload).includes("/mass")) resolve();
    });
  });
}

function countMasses(client: MqttClient): () => number {
  let count = 0;
  client.on("message", (_topic, payload) => {
    count += String(payload).split("/mass").length - 1;
  });
  return () => count;
}

/** Processor time of a process so far, its own and the kernel's for it. */
function cpuS({ process: { pid } }: Child): number {
  const stat = readFileSync(`/proc/${pid}/stat`, "utf8");
  // Fields 14 and 15 of proc(5), counted after the name in brackets.
  const fields = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
  return (Number(fields[11]) + Number(fields[12])) / ticksPerS;
}
