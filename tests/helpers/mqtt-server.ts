// The server program itself as a child process, on free ports of this machine.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { fileURLToPath } from "node:url";

const main = fileURLToPath(new URL("../../server/main.ts", import.meta.url));

/** `program` is a built one; without it, the sources run. */
type Options = { uid?: number; env?: Record<string, string>; program?: string };

export function spawnServer(dataFolder: string, { uid, env, program }: Options = {}) {
  const run = program === undefined ? ["--import", "tsx", main] : [program];
  const child = spawn(process.execPath, run, {
    env: {
      PATH: process.env["PATH"],
      HOME: process.env["HOME"],
      BRIMFUL_DATA: dataFolder,
      BRIMFUL_HTTP_PORT: "0",
      BRIMFUL_MQTT_PORT: "0",
      ...env,
    },
    ...(uid === undefined ? {} : { uid, gid: uid }),
    stdio: ["ignore", "pipe", "pipe"],
  });
  let output = "";
  let errors = "";
  child.stdout.on("data", (text: Buffer) => {
    output += text.toString();
  });
  child.stderr.on("data", (text: Buffer) => {
    errors += text.toString();
  });
  const ended = once(child, "exit").then(([code]) => ({ code: code as number | null, errors }));
  async function mqttUrl(): Promise<string> {
    for (;;) {
      const url = /boards publish to (mqtt:\S+)/.exec(output)?.[1];
      if (url !== undefined) return url;
      const heard = once(child.stdout, "data");
      const last = await Promise.race([heard.then(() => undefined), ended]);
      if (last !== undefined) throw new Error(`server ended with ${last.code}: ${errors}`);
    }
  }
  function kill(signal: "SIGKILL" | "SIGTERM") {
    child.kill(signal);
    return ended;
  }
  const httpUrl = () => /Brimful is at (http\S+),/.exec(output)?.[1] ?? "";
  return { pid: child.pid, mqttUrl, httpUrl, ended, kill, written: () => output + errors };
}
