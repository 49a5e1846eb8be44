// The board program as a process: what it prints, the demo's channel, and a kill in the middle.
import { type ChildProcess, execFile, fork } from "node:child_process";
import { once } from "node:events";
import { join } from "node:path";
import { promisify } from "node:util";
import { expect, it, onTestFinished } from "vitest";
import { startServer, type TestServer, temporaryFolder } from "./rig.ts";

const program = new URL("../../device/main.ts", import.meta.url).pathname;
const presentMs = Date.UTC(2026, 2, 14, 15);
const slow = 30_000;

async function run(...args: string[]) {
  const command = ["--import", "tsx", program, ...args];
  try {
    const { stdout } = await promisify(execFile)(process.execPath, command);
    return { code: 0, text: stdout };
  } catch (error) {
    const { code, stderr } = error as { code: number; stderr: string };
    return { code, text: stderr };
  }
}

it(
  "prints its plan as JSON",
  async () => {
    const { code, text } = await run("--simulated", "--plan");
    expect(code).toBe(0);
    expect(JSON.parse(text)).toHaveLength(12);
  },
  slow,
);

it(
  "says in one line what it lacks, and what is wrong with a weather file",
  async () => {
    const [bare, weather] = await Promise.all([
      run(),
      run("--simulated", "--weather", "/nowhere/at/all.csv"),
    ]);
    expect(bare).toEqual({
      code: 1,
      text: "this requires --boards FILE or --simulated, got neither\n",
    });
    expect(weather.code).toBe(1);
    expect(weather.text).toMatch(
      /^the weather file .* requires a file that can be read, got ENOENT.*\n$/,
    );
  },
  slow,
);

function startDemoBoard(server: TestServer, folder: string, ...args: string[]): ChildProcess {
  const child = fork(
    program,
    ["--simulated", "--now", String(presentMs), "--time-zone", "UTC", ...args],
    {
      execArgv: ["--import", "tsx"],
      env: {
        ...process.env,
        BRIMFUL_MQTT_URL: server.url,
        BRIMFUL_BOARD_DATA: join(folder, "board"),
      },
      silent: true,
    },
  );
  onTestFinished(() => void child.kill("SIGKILL"));
  return child;
}

/** One listener for all messages: several may come in one turn. */
function backfilled(child: ChildProcess): Promise<number[]> {
  const shares: number[] = [];
  return new Promise((resolve) => {
    child.on("message", (message: { kind: string; done?: number }) => {
      if (message.kind === "backfilled") resolve(shares);
      else shares.push(message.done ?? Number.NaN);
    });
  });
}

function massTimes(server: TestServer): Map<string, number[]> {
  const times = new Map<string, number[]>();
  for (const { board, records } of server.kept()) {
    const baseS = (records[0] as { bt?: number }).bt ?? Number.NaN;
    for (const { n, t = 0 } of records as { n: string; t?: number }[]) {
      if (n.endsWith("/mass")) {
        const key = `${board}/${n}`;
        times.set(key, [...(times.get(key) ?? []), (baseS + t) * 1000]);
      }
    }
  }
  return times;
}

it(
  "fills in the past, then runs on at the demo's speed, and stops cleanly when told",
  async () => {
    const server = await startServer();
    const child = startDemoBoard(server, temporaryFolder(), "--days", "0.5");
    const shares = await backfilled(child);
    expect(shares).toEqual([...shares].sort((a, b) => a - b));
    const times = massTimes(server);
    expect(times.size).toBe(12);
    for (const cell of times.values()) {
      expect(cell.length).toBeGreaterThan(680);
      expect(Math.max(...cell)).toBeLessThanOrEqual(presentMs);
      expect(new Set(cell).size).toBe(cell.length);
    }
    const before = server.kept().length;
    child.send({ kind: "run", heldAtMs: presentMs, runsFromRealMs: Date.now(), speed: 600 });
    await server.until(() => server.kept().length >= before + 20);
    child.kill("SIGTERM");
    expect(await once(child, "exit")).toEqual([0, null]);
    expect(server.state.presence.filter((text) => text.includes("false")).length).toBe(2);
    for (const cell of massTimes(server).values())
      expect(cell).toEqual([...cell].sort((a, b) => a - b));
  },
  slow,
);

it(
  "loses and doubles nothing when it is killed in the middle of its past",
  async () => {
    const server = await startServer();
    const folder = temporaryFolder();
    const first = startDemoBoard(server, folder, "--days", "4");
    await server.until(() => server.kept().length >= 60);
    first.kill("SIGKILL");
    await once(first, "exit");
    const second = startDemoBoard(server, folder, "--days", "4");
    await backfilled(second);
    const spools = new Set(server.kept().map(({ board, spool }) => `${board}/${spool}`));
    expect(spools.size).toBe(2);
    for (const cell of massTimes(server).values()) expect(new Set(cell).size).toBe(cell.length);
    for (const name of spools) {
      const [board = "", spool = ""] = name.split("/");
      const own = server.kept().filter((received) => received.board === board);
      expect(server.through(board, spool)).toBe(own.length);
      expect(own.every(({ skipped }) => skipped === 0)).toBe(true);
    }
    second.kill("SIGTERM");
    await once(second, "exit");
  },
  slow,
);
