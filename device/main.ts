// Entry of the board program: the only place that touches the process.
import { once } from "node:events";
import { createWriteStream, mkdirSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline/promises";
import { setFlagsFromString } from "node:v8";
import { AppError } from "../shared/errors.ts";
import { scaledClockMs } from "../shared/scaled-clock.ts";
import { msPerDay, msPerMinute } from "../shared/units.ts";
import { type DemoReport, demoOrderSchema } from "../shared/wire/demo.ts";
import { clockProblem, readBoot, upMs } from "./believable-clock.ts";
import { readBoards } from "./boards-file.ts";
import { calibrate } from "./calibrate.ts";
import { check } from "./check.ts";
import { type BoardConfig, parseConfig } from "./config.ts";
import { type FolderLock, lockFolder } from "./folder-lock.ts";
import { createHardware, type HardwareBoard, programBoardFrom } from "./hardware.ts";
import { createLog, type Log } from "./log.ts";
import { createOpenLink } from "./mqtt-link.ts";
import { createSimulatedOrders } from "./orders.ts";
import { createProgram, type Program, type ProgramBoard } from "./program.ts";
import { createSimulation, wallOffsetFrom } from "./simulation.ts";
import { createSoftYard, softDescription } from "./soft-yard.ts";
import type { WiredBoard } from "./wired-board.ts";
import { publicPlan } from "./yard/plan.ts";
import type { Tape } from "./yard/truth.ts";

const programName = "brimful-board 0.1.0";
const isDemo = process.send !== undefined;

function createClock(config: BoardConfig) {
  const heldAtMs = config.nowMs ?? Date.now();
  let order = isDemo
    ? { heldAtMs, runsFromRealMs: undefined as number | undefined, speed: config.speed }
    : undefined;
  return {
    nowMs: () =>
      order === undefined ? Date.now() : scaledClockMs({ realNowMs: Date.now(), ...order }),
    get speed() {
      return order?.speed ?? 1;
    },
    obey(run: { heldAtMs: number; runsFromRealMs: number; speed: number }) {
      order = run;
    },
  };
}
type DemoClock = ReturnType<typeof createClock>;
type Running = { clock: DemoClock; log: Log };

function createTape(path: string | undefined, log: Log): Tape | undefined {
  if (path === undefined) return undefined;
  const file = createWriteStream(path);
  let broken = false;
  file.on("error", (error) => {
    broken = true;
    log.error("truth file cannot be written, going on without", { problem: error.message });
  });
  return (record) => {
    if (!broken) file.write(`${JSON.stringify(record)}\n`);
  };
}

/** A wired board gives little work: code made fast for it would cost 8 MB and gain nothing. */
function staySmall({ simulated }: BoardConfig): void {
  if (!simulated) setFlagsFromString("--no-opt");
}

function buildProgram(config: BoardConfig, clock: DemoClock, log: Log): Program {
  const presentMs = clock.nowMs();
  const startMs = presentMs - config.backfillDays * msPerDay;
  let program: Program | undefined;
  const boards = config.simulated
    ? simulatedBoards({ config, startMs, clock, log })
    : wiredBoards(config, { clock, nowMs: () => program?.nowMs() ?? clock.nowMs(), log });
  const dating = { systemMs: clock.nowMs, upMs, boot: readBoot(), problem: clockProblem };
  program = createProgram({
    clock,
    log,
    dataFolder: config.dataFolder,
    boards: boards.map(({ board }) => board),
    startMs,
    presentMs,
    stepMs: 1000 * config.everyS,
    onBackfill: createProgress(),
    wired: boards.flatMap(({ wired }) => (wired === undefined ? [] : [wired])),
    ...(config.simulated ? {} : { dating }),
  });
  return program;
}

type Built = { board: ProgramBoard; wired?: WiredBoard };
type Simulating = { config: BoardConfig; startMs: number; clock: DemoClock; log: Log };

function simulatedBoards({ config, startMs, clock, log }: Simulating): Built[] {
  const tape = createTape(config.truthFile, log);
  const yard = createSimulation({
    seed: config.seed,
    startMs,
    wallOffsetMs: wallOffsetMs(config, startMs),
    weatherFile: config.weatherFile,
    ...(tape === undefined ? {} : { tape }),
  });
  return yard.boards.map((name) => {
    const source = yard.sourceOf(name);
    const obey = createSimulatedOrders({
      name,
      source,
      nowMs: clock.nowMs,
      calibratedAtMs: startMs,
    });
    return { board: { name, source, openLink: openLinkOf(config, name), obey } };
  });
}

type Wiring = { clock: DemoClock; nowMs: () => number; log: Log };
function wiredBoards(config: BoardConfig, { clock, nowMs, log }: Wiring): Built[] {
  return hardwareFrom(config, nowMs, log).map((hardware) => ({
    board: programBoardFrom(hardware, {
      // An order's end is a time of the server's clock, which the readings' own may be hours off.
      nowMs: clock.nowMs,
      openLink: openLinkOf(config, hardware.wired.name),
    }),
    wired: hardware.wired,
  }));
}

/** Throws AppError when there is no description, or a wrong one. */
function hardwareFrom(config: BoardConfig, nowMs: () => number, log: Log): HardwareBoard[] {
  const { boardsFile, dataFolder, seed } = config;
  if (config.simulated) {
    // The soft board speaks the wire protocol, so the whole way from chip to weight is run.
    const massG = (channel: number) => 1000 + 500 * channel;
    const soft = createSoftYard({ seed, nowMs: () => performance.now(), massG });
    return createHardware([softDescription], { dataFolder, log, nowMs, ...soft });
  }
  if (boardsFile === undefined) {
    throw new AppError("config", "this requires --boards FILE or --simulated, got neither");
  }
  return createHardware(readBoards(boardsFile), { dataFolder, log, nowMs });
}

function openLinkOf(config: BoardConfig, board: string) {
  const password = config.secretOf(board);
  const secret = password === undefined ? {} : { password };
  return createOpenLink({ url: config.mqttUrl, board, program: programName, ...secret });
}

/** A task for a person at the terminal; true when it went well. */
function perform(config: BoardConfig, log: Log): Promise<boolean> {
  const nowMs = () => Date.now();
  const boards = hardwareFrom(config, nowMs, log);
  const [first] = boards;
  const chosen = boards.find(({ wired }) => wired.name === config.board) ?? first;
  if (chosen === undefined || (config.board !== undefined && chosen.wired.name !== config.board)) {
    throw new AppError("config", `--board requires one of the boards file, got "${config.board}"`);
  }
  const say = (text: string) => console.log(text);
  const lock = config.simulated ? undefined : lockBoard(config, chosen.wired.name);
  process.once("exit", () => lock?.release());
  if (config.task === "calibrate") return performCalibration(config, chosen, { say, nowMs });
  const openLink = openLinkOf(config, chosen.wired.name);
  return check({ board: chosen, openLink, brokerUrl: config.mqttUrl, nowMs, say, windows: 13 });
}

/** What is read and written here is the running program's as long as it runs. */
function lockBoard({ dataFolder }: BoardConfig, board: string): FolderLock {
  const folder = join(dataFolder, board);
  mkdirSync(folder, { recursive: true });
  return lockFolder(folder);
}

async function performCalibration(
  config: BoardConfig,
  { wired, calibrations }: HardwareBoard,
  { say, nowMs }: { say: (text: string) => void; nowMs: () => number },
): Promise<boolean> {
  const cell = config.cell ?? "";
  const terminal = createInterface({ input: process.stdin, output: process.stdout });
  const ended = once(terminal, "close").then(() => undefined);
  const ask = (question: string) => Promise.race([terminal.question(question), ended]);
  await wired.start();
  try {
    return await calibrate({ board: wired, cell, calibrations, talk: { say, ask }, nowMs });
  } finally {
    terminal.close();
    await wired.stop();
  }
}

/** The machine's own zone is asked without Intl, which would cost 8 MB of memory. */
function wallOffsetMs({ timeZone }: BoardConfig, atMs: number): number {
  if (timeZone !== undefined) return wallOffsetFrom(atMs, timeZone);
  return -new Date(atMs).getTimezoneOffset() * msPerMinute;
}

function report(message: DemoReport): void {
  process.send?.(message);
}

/** A report for each hundredth part, not for each pack. */
function createProgress(): (done: number) => void {
  let told = -1;
  return (done) => {
    const hundredths = Math.floor(done * 100);
    if (hundredths <= told) return;
    told = hundredths;
    report({ kind: "backfill", done });
  };
}

/** Settles once the demo says that the clock runs. */
function runOrder(clock: DemoClock, log: Log): Promise<void> {
  return new Promise((resolve) => {
    process.on("message", (message) => {
      const order = demoOrderSchema.safeParse(message);
      if (!order.success)
        return log.warn("order of the demo not understood", { problem: order.error.message });
      clock.obey(order.data);
      resolve();
    });
  });
}

async function work(program: Program, config: BoardConfig, running: Running): Promise<void> {
  const { clock, log } = running;
  const ordered = isDemo ? runOrder(clock, log) : Promise.resolve();
  program.start();
  if (config.backfillDays > 0 && !(await program.backfill())) return;
  report({ kind: "backfilled" });
  await ordered;
  program.run();
}

/** Ends the process with the outbox safely on disk, whatever ended the work. */
function createEnding(program: Program, log: Log): (code: number) => void {
  let ending = false;
  return (code) => {
    if (ending) return;
    ending = true;
    program
      .stop()
      .catch((error: unknown) => log.error("stopping failed", { problem: String(error) }))
      .finally(() => process.exit(code));
  };
}

function tellAndExit(error: unknown): never {
  refuse(error instanceof Error ? error.message : String(error));
}

function refuse(problem: string): never {
  console.error(problem);
  process.exit(1);
}

function main(): void {
  const settings = parseConfig({ env: process.env, args: process.argv.slice(2), isDemo });
  if (!settings.ok) refuse(settings.problem);
  const config = settings.value;
  if (config.printPlan) {
    console.log(JSON.stringify(publicPlan(), undefined, 2));
    return;
  }
  const clock = createClock(config);
  const log = createLog({
    // A person at the terminal is told all that matters by the task itself.
    level: config.task === "run" ? config.logLevel : "error",
    clock,
    write: (line) => process.stderr.write(line),
  });
  if (config.task !== "run") {
    perform(config, log).then((isWell) => process.exit(isWell ? 0 : 1), tellAndExit);
    return;
  }
  staySmall(config);
  const program = buildProgram(config, clock, log);
  const end = createEnding(program, log);
  const fail = (error: unknown) => {
    log.error("board program failed", {
      problem: error instanceof Error ? error.message : String(error),
    });
    end(1);
  };
  process.on("SIGINT", () => end(0));
  process.on("SIGTERM", () => end(0));
  process.on("disconnect", () => end(0));
  process.on("uncaughtException", fail);
  work(program, config, { clock, log }).catch(fail);
}

// A small computer has little memory, and this program leaves little garbage.
setFlagsFromString("--optimize-for-size");
setFlagsFromString("--max-semi-space-size=1");
setFlagsFromString("--semi-space-growth-factor=1");

try {
  main();
} catch (error) {
  tellAndExit(error);
}
