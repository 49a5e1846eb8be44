// A yard of real programs to be wronged: boards, cable, broker and server, each of which can be ended and started.
import { type ChildProcess, fork } from "node:child_process";
import { once } from "node:events";
import { chmodSync, chownSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as delay } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { freePort, startMosquitto } from "../helpers/mqtt-mosquitto.ts";
import { spawnServer } from "../helpers/mqtt-server.ts";
import { mountSmallDisk, type SmallDisk } from "../helpers/store-disk.ts";
import { type Cable, layCable } from "./cable.ts";
import { createLedger, type Ledger } from "./ledger.ts";
import type { Plan } from "./marked-reading.ts";
import type { PublisherOrder, PublisherReport } from "./publisher.ts";

export type StageOrder = {
  plan: Plan;
  broker: "embedded" | "mosquitto";
  /** The built server's file; without it the sources run. */
  program?: string;
  patienceMs: number;
  segmentBytes: number;
  /** Of each of the two disks. */
  diskMb: number;
};

export type Part = {
  start(): Promise<void>;
  /** As it is meant to end. */
  stop(): Promise<void>;
  /** At once. */
  kill(): Promise<void>;
  pid(): number | undefined;
};

export type Stage = {
  plan: Plan;
  ledger: Ledger;
  board: Part & { rest(): void };
  server: Part & { httpUrl(): string };
  /** Undefined where the server is its own broker. */
  broker: (Part & { forget(): void }) | undefined;
  cables: Cable[];
  /** Undefined where this user may not mount. */
  disks: { board: SmallDisk; server: SmallDisk } | undefined;
  outboxFolder: string;
  dataFolder: string;
  storeFile: string;
  spareFolder: string;
  /** What ended though nobody ended it. */
  crashes: string[];
  end(): Promise<void>;
};

/** Nobody, where root starts it: what a folder forbids is felt by others only. */
export const otherUid = process.getuid?.() === 0 ? 65_534 : undefined;

export async function setStage(order: StageOrder): Promise<Stage> {
  const base = mkdtempSync(join(tmpdir(), "brimful-faults-"));
  chmodSync(base, 0o755);
  const [boardDisk, serverDisk] = [mountSmallDisk(order.diskMb), mountSmallDisk(order.diskMb)];
  const disks = boardDisk && serverDisk && { board: boardDisk, server: serverDisk };
  const outboxFolder = join(disks?.board.folder ?? base, "outbox");
  const dataFolder = join(disks?.server.folder ?? base, "data");
  if (disks !== undefined) chmodSync(disks.board.folder, 0o755);
  mkdirSync(outboxFolder);
  if (otherUid !== undefined) chownSync(outboxFolder, otherUid, otherUid);
  const brokerPort = await freePort();
  const boardCable = await layCable(brokerPort);
  const isOwn = order.broker === "embedded";
  const serverCable = isOwn ? undefined : await layCable(brokerPort);
  const crashes: string[] = [];
  const ledger = createLedger(order.plan);
  const broker = isOwn ? undefined : createBrokerPart(brokerPort, join(base, "broker"));
  const env: Record<string, string> = { BRIMFUL_LOG: "warn", BRIMFUL_BACKUPS: join(base, "daily") };
  if (serverCable === undefined) env["BRIMFUL_MQTT_PORT"] = String(brokerPort);
  else env["BRIMFUL_MQTT_URL"] = `mqtt://127.0.0.1:${serverCable.port}`;
  const server = createServerPart({ ...order, dataFolder, env, crashes });
  const board = createBoardPart({ order, outboxFolder, port: boardCable.port, ledger, crashes });
  const cables = serverCable === undefined ? [boardCable] : [boardCable, serverCable];
  await broker?.start();
  await server.start();
  await board.start();
  return {
    ...{ plan: order.plan, ledger, board, server, broker, cables, disks, crashes },
    ...{ outboxFolder, dataFolder, storeFile: join(dataFolder, "brimful.db"), spareFolder: base },
    async end() {
      for (const part of [board, server, broker]) await part?.kill();
      for (const cable of cables) await cable.close();
      for (const disk of [boardDisk, serverDisk]) disk?.remove();
      rmSync(base, { recursive: true });
    },
  };
}

type ServerParts = Pick<StageOrder, "program"> & {
  dataFolder: string;
  env: Record<string, string>;
  crashes: string[];
};

function createServerPart({ program, dataFolder, env, crashes }: ServerParts): Stage["server"] {
  let server: ReturnType<typeof spawnServer> | undefined;
  const given = program === undefined ? { env } : { env, program };
  async function end(signal: "SIGKILL" | "SIGTERM") {
    const ending = server;
    server = undefined;
    await ending?.kill(signal);
  }
  return {
    async start() {
      const started = spawnServer(dataFolder, given);
      server = started;
      void started.ended.then(({ code, errors }) => {
        if (server === started) crashes.push(`server ended with ${code}: ${errors.slice(-2000)}`);
      });
      await started.mqttUrl();
    },
    stop: () => end("SIGTERM"),
    kill: () => end("SIGKILL"),
    pid: () => server?.pid,
    httpUrl: () => server?.httpUrl() ?? "",
  };
}

function createBrokerPart(port: number, keepIn: string): NonNullable<Stage["broker"]> {
  let broker: Awaited<ReturnType<typeof startMosquitto>> | undefined;
  mkdirSync(keepIn);
  return {
    async start() {
      broker = await startMosquitto({ port, keepIn });
    },
    stop: async () => broker?.stop(),
    kill: async () => broker?.kill(),
    pid: () => undefined,
    forget() {
      rmSync(keepIn, { recursive: true });
      mkdirSync(keepIn);
    },
  };
}

type BoardParts = {
  order: StageOrder;
  outboxFolder: string;
  port: number;
  ledger: Ledger;
  crashes: string[];
};

const publisher = fileURLToPath(new URL("./publisher.ts", import.meta.url));
const root = fileURLToPath(new URL("../..", import.meta.url));

function createBoardPart(parts: BoardParts): Stage["board"] {
  const { order, outboxFolder: folder, port, ledger, crashes } = parts;
  let child: ChildProcess | undefined;
  let life = -1;
  async function end(signal: "SIGKILL" | "SIGTERM") {
    const ending = child;
    child = undefined;
    if (ending === undefined || ending.exitCode !== null) return;
    // What it said last is heard before its channel closes.
    const heardAll = Promise.all([once(ending, "exit"), once(ending, "disconnect")]);
    ending.kill(signal);
    await heardAll;
  }
  return {
    async start() {
      life += 1;
      const own = life;
      const { plan, patienceMs, segmentBytes } = order;
      const url = `mqtt://127.0.0.1:${port}`;
      const told: PublisherOrder = { plan, url, folder, life, patienceMs, segmentBytes };
      const started = startPublisher(told);
      child = started;
      started.on("message", (message) => ledger.hear(message as PublisherReport, own));
      started.once("exit", (code) => {
        if (child === started) crashes.push(`boards ended with ${code}`);
      });
      // One that ends at once is told as a crash, and nobody waits for its word.
      await Promise.race([once(started, "message"), once(started, "exit")]);
    },
    stop: () => end("SIGTERM"),
    kill: () => end("SIGKILL"),
    pid: () => child?.pid,
    rest: () => child?.send("rest"),
  };
}

function startPublisher(order: PublisherOrder): ChildProcess {
  return fork(publisher, [JSON.stringify(order)], {
    execArgv: ["--import", "tsx"],
    cwd: root,
    env: { PATH: process.env["PATH"], HOME: tmpdir() },
    stdio: ["ignore", "ignore", "ignore", "ipc"],
    ...(otherUid === undefined ? {} : { uid: otherUid, gid: otherUid }),
  });
}

/** Resident memory of a process in MB (10^6 bytes), as the kernel has it; NaN when it is not there. */
export function residentMb(pid: number | undefined): number {
  try {
    const status = readFileSync(`/proc/${pid}/status`, "utf8");
    return (Number(/VmRSS:\s+(\d+) kB/.exec(status)?.[1]) * 1024) / 1e6;
  } catch {
    return Number.NaN;
  }
}

/** Lets the boards rest and waits until the server keeps all they have; false when it takes too long. */
export async function settle({ board, ledger }: Stage, patienceMs: number): Promise<boolean> {
  board.rest();
  const untilMs = Date.now() + patienceMs;
  // What was said before the order to rest came through doesn't count.
  await delay(500);
  ledger.forgetStates();
  while (!ledger.isSettled()) {
    if (Date.now() > untilMs) return false;
    await delay(50);
  }
  return true;
}
