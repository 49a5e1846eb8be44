// Entry of the board program: the only place that touches the process.
import { createWriteStream } from "node:fs";
import { setFlagsFromString } from "node:v8";
import { scaledClockMs } from "../shared/scaled-clock.ts";
import { msPerDay, msPerMinute } from "../shared/units.ts";
import { type DemoReport, demoOrderSchema } from "../shared/wire/demo.ts";
import { type BoardConfig, parseConfig } from "./config.ts";
import { createLog, type Log } from "./log.ts";
import { createOpenLink } from "./mqtt-link.ts";
import { createProgram, type Program } from "./program.ts";
import { createSimulation, wallOffsetFrom } from "./simulation.ts";
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

function buildProgram(config: BoardConfig, clock: DemoClock, log: Log): Program {
  const presentMs = clock.nowMs();
  const startMs = presentMs - config.backfillDays * msPerDay;
  const tape = createTape(config.truthFile, log);
  const yard = createSimulation({
    seed: config.seed,
    startMs,
    wallOffsetMs: wallOffsetMs(config, startMs),
    weatherFile: config.weatherFile,
    ...(tape === undefined ? {} : { tape }),
  });
  const boards = yard.boards.map((name) => {
    const password = config.secretOf(name);
    const secret = password === undefined ? {} : { password };
    const openLink = createOpenLink({
      url: config.mqttUrl,
      board: name,
      program: programName,
      ...secret,
    });
    return { name, source: yard.sourceOf(name), openLink };
  });
  const onBackfill = createProgress();
  return createProgram({
    clock,
    log,
    dataFolder: config.dataFolder,
    boards,
    startMs,
    presentMs,
    onBackfill,
  });
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
  if (!config.simulated) {
    refuse("This version has only the simulated source: run it with --simulated");
  }
  const clock = createClock(config);
  const log = createLog({
    level: config.logLevel,
    clock,
    write: (line) => process.stderr.write(line),
  });
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
  refuse(error instanceof Error ? error.message : String(error));
}
