// The real Mosquitto and its publisher as child processes on a free port of this machine.
import { execFile, spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";

const run = promisify(execFile);
// Debian keeps it where an ordinary user's PATH doesn't look.
const program = existsSync("/usr/sbin/mosquitto") ? "/usr/sbin/mosquitto" : "mosquitto";

export async function freePort(): Promise<number> {
  const server = createServer().listen(0, "127.0.0.1");
  await once(server, "listening");
  const { port } = server.address() as { port: number };
  server.close();
  await once(server, "close");
  return port;
}

/** With a folder of one's own it keeps there what it has, until the folder is removed. */
export async function startMosquitto({
  port: given,
  keepIn,
}: {
  port?: number;
  keepIn?: string;
} = {}) {
  const port = given ?? (await freePort());
  const folder = mkdtempSync(join(tmpdir(), "brimful-mosquitto-"));
  const config = join(folder, "mosquitto.conf");
  const keeping = [`persistence_location ${keepIn}/`, "autosave_interval 5", "user root"];
  const lines = [
    `listener ${port} 127.0.0.1`,
    "allow_anonymous true",
    `persistence ${keepIn !== undefined}`,
    ...(keepIn === undefined ? [] : keeping),
  ];
  writeFileSync(config, `${lines.join("\n")}\n`);
  const child = spawn(program, ["-v", "-c", config], { stdio: ["ignore", "ignore", "pipe"] });
  await new Promise<void>((resolve, reject) => {
    child.once("error", reject);
    child.once("exit", (code) => reject(new Error(`mosquitto ended with ${code}`)));
    child.stderr.on("data", (text: Buffer) => {
      if (text.includes("running")) resolve();
    });
  });
  child.removeAllListeners("exit");
  const ended = once(child, "exit");
  async function end(signal: "SIGTERM" | "SIGKILL") {
    child.kill(signal);
    await ended;
    rmSync(folder, { recursive: true, force: true });
  }
  return {
    url: `mqtt://127.0.0.1:${port}`,
    stop: () => end("SIGTERM"),
    kill: () => end("SIGKILL"),
  };
}

/** Publishes by `mosquitto_pub` at QoS 1; resolves when it has the acknowledgement, rejects otherwise. */
export async function mosquittoPub(
  url: string,
  { topic, payload, version }: { topic: string; payload: string; version: "mqttv311" | "mqttv5" },
): Promise<void> {
  const { hostname, port } = new URL(url);
  const to = ["-h", hostname, "-p", port, "-V", version, "-q", "1", "-t", topic];
  await run("mosquitto_pub", [...to, "-m", payload], { timeout: 10_000 });
}
