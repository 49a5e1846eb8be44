// Runs the demo command as a person would, on a free port, and ends it by its own process.
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { fileURLToPath } from "node:url";

export type Demo = { url: string; output(): string; stop(): Promise<void> };

const root = fileURLToPath(new URL("../..", import.meta.url));
const allRunning = /clock now runs/;

/** Resolves when the past is filled in and the yard's clock runs; rejects when it ends before. */
export async function startDemo(options: string[], env: NodeJS.ProcessEnv = {}): Promise<Demo> {
  const child = spawn(
    process.execPath,
    ["--import", "tsx", "server/commands/demo.ts", "--port", "0", ...options],
    { cwd: root, env: { ...process.env, ...env }, stdio: ["ignore", "pipe", "pipe"] },
  );
  const output = await outputUntilRunning(child);
  const url = /http:\/\/\S+/.exec(output())?.[0];
  if (url === undefined) throw new Error(`demo requires an address, got ${output()}`);
  return {
    url,
    output,
    async stop() {
      const ended = once(child, "exit");
      child.kill("SIGINT");
      await ended;
    },
  };
}

function outputUntilRunning(child: ChildProcess): Promise<() => string> {
  let text = "";
  return new Promise((resolve, reject) => {
    const take = (chunk: Buffer) => {
      text += chunk.toString();
      if (allRunning.test(text)) resolve(() => text);
    };
    child.stdout?.on("data", take);
    child.stderr?.on("data", take);
    child.once("exit", (code) => reject(new Error(`demo ended with code ${code}: ${text}`)));
  });
}

/** A zone of whole hours in which it is about that hour of the day now. */
export function zoneWhereHourIs(hour: number, nowMs: number): string {
  const utcHour = new Date(nowMs).getUTCHours();
  const aheadH = ((hour - utcHour + 36) % 24) - 12;
  // In these names the sign is turned round: Etc/GMT-5 is five hours ahead of UTC.
  return aheadH === 0 ? "Etc/GMT" : `Etc/GMT${aheadH > 0 ? "-" : "+"}${Math.abs(aheadH)}`;
}
