// The server program: settings in, everything started, a clean stop on a signal.
import { existsSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Clock } from "../shared/clock.ts";
import { AppError } from "../shared/errors.ts";
import { scaledClockMs } from "../shared/scaled-clock.ts";
import { type DemoOrder, type DemoServerReport, demoOrderSchema } from "../shared/wire/demo.ts";
import { type App, createApp } from "./app.ts";
import { createBackUp } from "./care/backup-program.ts";
import { createWatchdog } from "./care/watchdog.ts";
import { parseConfig } from "./config.ts";
import { createLog } from "./log.ts";

const systemClock: Clock = { nowMs: () => Date.now(), speed: 1 };

run().catch(fail);

async function run(): Promise<void> {
  const config = parseConfig(process.env);
  if (!config.ok) throw new AppError("config", config.problem);
  const { demoNowMs, logLevel } = config.value;
  const clock = demoNowMs === undefined ? systemClock : demoClock(demoNowMs);
  const log = createLog(logLevel);
  const backUp = createBackUp([...process.execArgv, backupProgram()]);
  const app = createApp({
    config: config.value,
    clock,
    log,
    webFolder: webFolder(),
    backUp,
    version: programVersion(),
  });
  for (const signal of ["SIGINT", "SIGTERM"] as const) {
    process.once(signal, () => {
      app.stop().then(() => process.exit(0), fail);
    });
  }
  await startOrClose(app);
  const { NOTIFY_SOCKET: notifySocket, WATCHDOG_USEC: watchdogUsec } = process.env;
  createWatchdog({ notifySocket, watchdogUsec, log }).start();
  if (demoNowMs !== undefined) reportListening(app);
  else console.log(`Brimful is at ${app.httpUrl()}, boards publish to ${app.mqttUrl()}`);
}

/** A start that fails leaves the store closed as it should be. */
async function startOrClose(app: App): Promise<void> {
  try {
    await app.start();
  } catch (error) {
    await app.stop();
    throw error;
  }
}

/** Stands at the given time until the demo says from when on and how fast it runs. */
function demoClock(heldAtMs: number): Clock {
  let order: DemoOrder = { kind: "run", heldAtMs, runsFromRealMs: Number.MAX_VALUE, speed: 1 };
  process.on("message", (message) => {
    const told = demoOrderSchema.safeParse(message);
    if (told.success) order = told.data;
  });
  return {
    nowMs: () => scaledClockMs({ ...order, realNowMs: Date.now() }),
    get speed() {
      return order.speed;
    },
  };
}

function reportListening(app: App): void {
  const report: DemoServerReport = {
    kind: "listening",
    httpUrl: app.httpUrl(),
    mqttPort: Number(new URL(app.mqttUrl()).port),
  };
  process.send?.(report);
  // Without the demo there is nobody to look at it.
  process.once("disconnect", () => {
    app.stop().then(() => process.exit(0), fail);
  });
}

/** The package lies one folder up, from the sources and from the build. */
function programVersion(): string {
  const text = readFileSync(new URL("../package.json", import.meta.url), "utf8");
  return (JSON.parse(text) as { version: string }).version;
}

/** Beside the bundle once built; from the sources, where the build puts it. */
function webFolder(): string {
  const beside = fileURLToPath(new URL("./web", import.meta.url));
  return existsSync(`${beside}/index.html`) && !existsSync(`${beside}/main.tsx`)
    ? beside
    : fileURLToPath(new URL("../dist/web", import.meta.url));
}

/** Beside the bundle once built; a command among the sources. */
function backupProgram(): string {
  const beside = fileURLToPath(new URL("./backup.mjs", import.meta.url));
  return existsSync(beside)
    ? beside
    : fileURLToPath(new URL("./commands/backup.ts", import.meta.url));
}

function fail(error: unknown): void {
  console.error(error instanceof AppError ? error.message : error);
  process.exit(1);
}
