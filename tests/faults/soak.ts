// Faults for as long as one likes while boards publish fast: `npm run soak -- --minutes 60 --rate 2000 --seed 1`.
import { once } from "node:events";
import { setTimeout as delay } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { build } from "../../server/commands/build.ts";
import { createRandom } from "../helpers/random.ts";
import { endsServer, type Fault, faultsFor, leftOut } from "./inflict.ts";
import { createMemoryWatch } from "./memory-watch.ts";
import { type Stage, setStage, settle } from "./stage.ts";
import { formatTable, type Tried } from "./table.ts";

const boards = 8;
const cells = 25;

const { values } = parseArgs({
  options: {
    minutes: { type: "string", default: "60" },
    /** Readings a second, of all boards. */
    rate: { type: "string", default: "2000" },
    seed: { type: "string", default: "1" },
    /** Seconds from a fault to the next. */
    every: { type: "string", default: "20" },
    broker: { type: "string", default: "embedded" },
    /** Buckets hung on the first cells. */
    buckets: { type: "string", default: "12" },
    /** Minutes at the end in which no fault ends the server, so that its memory over time shows; else two thirds. */
    spared: { type: "string" },
    /** Leaves out faults whose name holds this word. */
    without: { type: "string" },
  },
});

function say(line: string): void {
  process.stdout.write(`${line}\n`);
}

function wholeFrom(name: "minutes" | "rate" | "seed" | "every" | "buckets" | "spared"): number {
  const number = Number(values[name]);
  if (Number.isFinite(number) && number >= 0) return number;
  throw new Error(`--${name} requires a number, got "${values[name]}"`);
}

async function hangBuckets({ server, plan }: Stage, count: number): Promise<void> {
  for (let pail = 0; pail < count; pail += 1) {
    const cell = `${plan.boards[pail % boards]}/cell-${Math.floor(pail / boards) + 1}`;
    const body = { label: `Pail ${pail + 1}`, cell, capacityL: 11, emptyKg: 0.8 };
    const answer = await fetch(`${server.httpUrl()}/api/v1/buckets`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ ...body, fromMs: plan.originMs }),
    });
    if (!answer.ok) throw new Error(`bucket not hung: ${await answer.text()}`);
  }
}

type Wronging = {
  stage: Stage;
  random: () => number;
  spareFromMs: number;
  untilMs: number;
  everyMs: number;
};
type Named = [name: string, inflict: Fault];

/** Every fault in turn, each time in another order, for ever. */
function* inTurn(faults: readonly Named[], random: () => number): Generator<Named> {
  for (;;) {
    const drawn = faults.map((fault) => ({ fault, at: random() }));
    for (const { fault } of drawn.sort((a, b) => a.at - b.at)) yield fault;
  }
}

async function wrong({ stage, random, spareFromMs, untilMs, everyMs }: Wronging): Promise<Tried> {
  const { without } = values;
  const isWanted = ([name]: Named) => without === undefined || !name.includes(without);
  const faults = [...faultsFor(stage)].filter(isWanted);
  const tried: Tried = new Map(faults.map(([name]) => [name, 0]));
  for (const [name, inflict] of inTurn(faults, random)) {
    if (endsServer(name) && Date.now() >= spareFromMs) continue;
    const nextMs = Date.now() + everyMs;
    await delay((everyMs / 4) * random());
    if (Date.now() >= untilMs) break;
    const said = await inflict({ stage, random });
    tried.set(name, (tried.get(name) ?? 0) + 1);
    const time = new Date().toISOString().slice(11, 19);
    say(`${time} ${name}${said === undefined ? "" : `: ${said}`}`);
    await delay(Math.max(0, nextMs - Date.now()));
  }
  return tried;
}

async function run(): Promise<void> {
  const broker = values.broker === "mosquitto" ? "mosquitto" : "embedded";
  await build({ ifStale: true });
  const rate = wholeFrom("rate");
  const stage = await setStage({
    plan: {
      originMs: Date.now(),
      stepMs: Math.max(1, Math.round((1000 * boards * cells) / rate)),
      boards: Array.from({ length: boards }, (_, board) => `soak-${board + 1}`),
      cells,
    },
    broker,
    program: fileURLToPath(new URL("../../dist/server.mjs", import.meta.url)),
    patienceMs: 20_000,
    segmentBytes: 100_000,
    diskMb: 4000,
  });
  const interrupted = once(process, "SIGINT").then(() => stage.end());
  void interrupted.then(() => process.exit(1));
  for (const why of leftOut(stage)) say(`LEFT OUT ${why}`);
  await hangBuckets(stage, wholeFrom("buckets"));
  const beganMs = Date.now();
  const memory = createMemoryWatch({ server: stage.server.pid, boards: stage.board.pid });
  const minutes = wholeFrom("minutes");
  const spared = values.spared === undefined ? (2 / 3) * minutes : wholeFrom("spared");
  const untilMs = beganMs + minutes * 60_000;
  const spareFromMs = untilMs - spared * 60_000;
  const tried = await wrong({
    stage,
    random: createRandom(wholeFrom("seed")).uniform,
    spareFromMs,
    untilMs,
    everyMs: wholeFrom("every") * 1000,
  });
  memory.stop();
  const settlingMs = Date.now();
  const isSettled = await settle(stage, 600_000);
  const settledS = (Date.now() - settlingMs) / 1000;
  await stage.server.stop();
  const compared = stage.ledger.compare(stage.storeFile);
  const { crashes } = stage;
  await stage.end();
  const result = { minutes, rate, broker, tried, compared, crashes, isSettled, settledS, spared };
  say(formatTable({ ...result, memory: memory.figures(spareFromMs) }));
  const isWell = isSettled && crashes.length + compared.lost + compared.doubled === 0;
  process.exit(isWell && compared.lostByOutbox === 0 ? 0 : 1);
}

await run();
