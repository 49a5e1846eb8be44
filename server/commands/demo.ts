// The demo: builds, starts the server and a simulated yard as processes of their own, and fills in ten days.
import { type ChildProcess, execFileSync, fork } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { z } from "zod";
import { msPerDay } from "../../shared/units.ts";
import type { YardView } from "../../shared/wire/api.ts";
import {
  type DemoOrder,
  demoReportSchema,
  demoServerReportSchema,
} from "../../shared/wire/demo.ts";
import { build } from "./build.ts";
import { type Ask, boilThePast, lookAfterBarrel, setUpKitchen } from "./demo-people.ts";
import { createAsk, demoPlanSchema, setUpYard } from "./demo-yard.ts";

const dist = fileURLToPath(new URL("../../dist/", import.meta.url));
function numberOf(low: number, high: number, isWhole = false) {
  const error = `requires a ${isWhole ? "whole " : ""}number from ${low} to ${high}`;
  const number = z.coerce.number({ error }).min(low, error).max(high, error);
  return isWhole ? number.refine(Number.isInteger, error) : number;
}

const optionsSchema = z.strictObject({
  speed: numberOf(1, 5000).default(600),
  seed: numberOf(0, 2 ** 31, true).default(9),
  days: numberOf(0, 60).default(10),
  port: numberOf(0, 65_535, true).default(8010),
  weather: z.string().optional(),
});
type Options = z.infer<typeof optionsSchema>;

const heardShortMs = 5 * 60_000;
const lookEveryMs = 2000;
const children: ChildProcess[] = [];
const data = mkdtempSync(join(tmpdir(), "brimful-demo-"));
let ending = false;

process.on("SIGINT", () => end(0));
process.on("SIGTERM", () => end(0));
run(readOptions()).catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : error);
  end(1);
});

async function run(options: Options): Promise<void> {
  await build({ ifStale: true });
  const heldAtMs = Date.now();
  const timeZone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  const plan = demoPlanSchema.parse(JSON.parse(boardPlan(options)));
  const server = startServer(options, { heldAtMs, timeZone });
  const { httpUrl, mqttPort } = await reportOf(server, demoServerReportSchema);
  console.log(`Brimful demo, a simulated yard: ${httpUrl}  (Ctrl-C ends it)`);
  const fromMs = heldAtMs - options.days * msPerDay;
  const ask = createAsk(httpUrl);
  await setUpYard(ask, plan, fromMs);
  const board = startBoard(options, { heldAtMs, timeZone, mqttPort });
  await backfilled(board, options.days);
  const kitchen = { ask, timeZone, barrelId: "barrel" };
  await heardUpTo(ask, heldAtMs);
  await setUpKitchen(ask, fromMs);
  await boilThePast(kitchen, { fromMs, nowMs: heldAtMs });
  await lookAfterBarrel(kitchen, fromMs);
  const order: DemoOrder = {
    kind: "run",
    heldAtMs,
    runsFromRealMs: Date.now(),
    speed: options.speed,
  };
  server.send(order);
  board.send(order);
  keepBoiling(() => lookAfterBarrel(kitchen, fromMs));
  console.log(`The yard's clock now runs ${options.speed} times as fast as yours.`);
}

/** Until the server has gone through all that was filled in. */
async function heardUpTo(ask: Ask, atMs: number): Promise<void> {
  for (;;) {
    const { buckets } = await ask<YardView>("GET", "yard");
    const hung = buckets.filter(({ lastReadingMs }) => (lastReadingMs ?? 0) > atMs - heardShortMs);
    if (hung.length === buckets.length) return;
    await sleep(100);
  }
}

/** What goes wrong is told once and again, but the yard goes on. */
function keepBoiling(look: () => Promise<void>): void {
  setTimeout(() => {
    look()
      .catch((error: unknown) => {
        if (!ending) console.error(error instanceof Error ? error.message : error);
      })
      .finally(() => {
        if (!ending) keepBoiling(look);
      });
  }, lookEveryMs);
}

function readOptions(): Options {
  const options = {
    speed: { type: "string" },
    seed: { type: "string" },
    days: { type: "string" },
    port: { type: "string" },
    weather: { type: "string" },
  } as const;
  try {
    const { values } = parseArgs({ options });
    const read = optionsSchema.safeParse(values);
    if (read.success) return read.data;
    const problems = read.error.issues.map(({ path, message }) => {
      const name = path.join(".") as keyof typeof options;
      return `--${name} ${message}, got "${values[name]}"`;
    });
    return refuseOptions(problems.join("\n"));
  } catch (error) {
    return refuseOptions((error as Error).message);
  }
}

function refuseOptions(problems: string): never {
  console.error(problems);
  console.error("Options: --speed 600 --seed 9 --days 10 --port 8010 --weather FILE.csv");
  rmSync(data, { recursive: true, force: true });
  process.exit(1);
}

function boardArguments(options: Options): string[] {
  const weather = options.weather === undefined ? [] : ["--weather", options.weather];
  return ["--simulated", "--seed", String(options.seed), ...weather];
}

function boardPlan(options: Options): string {
  return execFileSync(
    process.execPath,
    [join(dist, "board.mjs"), ...boardArguments(options), "--plan"],
    { encoding: "utf8", stdio: ["ignore", "pipe", "inherit"] },
  );
}

function startServer(options: Options, time: { heldAtMs: number; timeZone: string }): ChildProcess {
  return start("server.mjs", [], {
    BRIMFUL_DEMO_NOW: String(time.heldAtMs),
    BRIMFUL_DATA: join(data, "server"),
    BRIMFUL_HTTP_PORT: String(options.port),
    BRIMFUL_MQTT_PORT: "0",
    BRIMFUL_TZ: time.timeZone,
    BRIMFUL_LOG: "warn",
  });
}

function startBoard(
  options: Options,
  time: { heldAtMs: number; timeZone: string; mqttPort: number },
): ChildProcess {
  const span = ["--days", String(options.days), "--now", String(time.heldAtMs)];
  return start("board.mjs", [...boardArguments(options), ...span, "--time-zone", time.timeZone], {
    BRIMFUL_BOARD_DATA: join(data, "board"),
    BRIMFUL_MQTT_PORT: String(time.mqttPort),
    BRIMFUL_LOG: "warn",
  });
}

/** Starts one of the built programs with these settings and no other BRIMFUL_ ones. */
function start(program: string, parameters: string[], settings: NodeJS.ProcessEnv): ChildProcess {
  const own = Object.entries(process.env).filter(([name]) => !name.startsWith("BRIMFUL_"));
  const child = fork(join(dist, program), parameters, {
    env: { ...Object.fromEntries(own), ...settings },
    execArgv: [],
    stdio: ["ignore", "inherit", "inherit", "ipc"],
  });
  children.push(child);
  child.once("exit", (code) => {
    if (!ending) {
      console.error(`The ${program} program ended with code ${code}.`);
      end(1);
    }
  });
  return child;
}

function reportOf<T>(child: ChildProcess, schema: z.ZodType<T>): Promise<T> {
  return new Promise((resolve) => {
    child.on("message", (message) => {
      const report = schema.safeParse(message);
      if (report.success) resolve(report.data);
    });
  });
}

function backfilled(board: ChildProcess, days: number): Promise<void> {
  return new Promise((resolve) => {
    board.on("message", (message) => {
      const report = demoReportSchema.parse(message);
      const isDone = report.kind === "backfilled";
      // The last step is shown once, when it is sure.
      showProgress(isDone ? 1 : Math.min(0.99, report.done), days);
      if (isDone) resolve();
    });
  });
}

function showProgress(done: number, days: number): void {
  const width = 30;
  const filled = Math.round(done * width);
  const bar = "#".repeat(filled) + ".".repeat(width - filled);
  const text = `Filling in the last ${days} days  [${bar}] ${Math.round(done * 100)} %`;
  if (process.stdout.isTTY) process.stdout.write(`\r${text}${done >= 1 ? "\n" : ""}`);
  else if (done >= 1) console.log(text);
}

function end(code: number): void {
  if (ending) return;
  ending = true;
  const running = children.filter((child) => child.exitCode === null && child.signalCode === null);
  const ended = running.map(
    (child) => new Promise<void>((resolve) => child.once("exit", () => resolve())),
  );
  for (const child of running) child.kill("SIGTERM");
  const giveUp = setTimeout(() => {
    for (const child of running) child.kill("SIGKILL");
  }, 5000);
  Promise.all(ended).then(() => {
    clearTimeout(giveUp);
    rmSync(data, { recursive: true, force: true });
    process.exit(code);
  }, console.error);
}
