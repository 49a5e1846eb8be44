// The built server and board programs as child processes on free ports, with data in a folder for temporary files.
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const dist = fileURLToPath(new URL("../../dist/", import.meta.url));

export type Child = {
  process: ChildProcess;
  stop(): Promise<void>;
  /** At once, with no time to finish anything. */
  kill(): Promise<void>;
};
export type ServerChild = Child & { httpUrl: string; mqttUrl: string };

export type Folder = { path: string; remove(): void };

export function makeFolder(): Folder {
  const path = mkdtempSync(join(tmpdir(), "brimful-bench-"));
  const removeNow = () => rmSync(path, { recursive: true, force: true });
  // Also where a measurement throws.
  process.once("exit", removeNow);
  const remove = () => {
    process.off("exit", removeNow);
    removeNow();
  };
  return { path, remove };
}

export function startServer(
  dataFolder: string,
  settings: Record<string, string> = {},
): Promise<ServerChild> {
  const child = startProgram("server.mjs", [], {
    BRIMFUL_DATA: dataFolder,
    BRIMFUL_HTTP_PORT: "0",
    BRIMFUL_MQTT_PORT: "0",
    BRIMFUL_TZ: "America/Toronto",
    BRIMFUL_LOG: "warn",
    ...settings,
  });
  let output = "";
  return new Promise((resolve, reject) => {
    child.process.stdout?.on("data", (chunk: Buffer) => {
      output += chunk.toString();
      const said = /Brimful is at (\S+), boards publish to (\S+)/.exec(output);
      if (said) resolve({ ...child, httpUrl: said[1] ?? "", mqttUrl: said[2] ?? "" });
    });
    child.process.once("exit", (code) => reject(new Error(`server ended with code ${code}`)));
  });
}

export function startBoard(dataFolder: string, mqttUrl: string): Child {
  return startProgram("board.mjs", ["--simulated"], {
    BRIMFUL_BOARD_DATA: dataFolder,
    BRIMFUL_MQTT_URL: mqttUrl,
    BRIMFUL_LOG: "warn",
  });
}

export function startProgram(
  name: string,
  options: string[],
  settings: Record<string, string>,
): Child {
  const child = spawn(process.execPath, [join(dist, name), ...options], {
    env: { PATH: process.env["PATH"], HOME: process.env["HOME"], ...settings },
    stdio: ["ignore", "pipe", "inherit"],
  });
  const ended = once(child, "exit");
  const end = async (signal: "SIGTERM" | "SIGKILL") => {
    child.kill(signal);
    await ended;
  };
  const killWithUs = () => child.kill("SIGKILL");
  process.once("exit", killWithUs);
  child.once("exit", () => process.off("exit", killWithUs));
  return { process: child, stop: () => end("SIGTERM"), kill: () => end("SIGKILL") };
}

/** Resident memory of a process in MB (10^6 bytes), as the kernel has it. */
export function residentMb({ process: { pid } }: Child): number {
  const status = readFileSync(`/proc/${pid}/status`, "utf8");
  return (Number(/VmRSS:\s+(\d+) kB/.exec(status)?.[1]) * 1024) / 1e6;
}

/** Calls the API; throws with the server's words when it refuses. */
export async function call<T>(url: string, method: string, body?: unknown): Promise<T> {
  const answer = await fetch(url, {
    method,
    ...(body === undefined
      ? {}
      : { headers: { "content-type": "application/json" }, body: JSON.stringify(body) }),
  });
  if (!answer.ok) throw new Error(`${method} ${url}: ${await answer.text()}`);
  return (await answer.json()) as T;
}
