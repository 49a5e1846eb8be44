// How long the demo takes to fill in ten days, all over real MQTT.
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { fileURLToPath } from "node:url";
import type { Figure } from "./figures.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));
const patienceMs = 120_000;

export async function backfill(): Promise<Figure[]> {
  const beganMs = performance.now();
  const options = ["--import", "tsx", "server/commands/demo.ts", "--port", "0", "--speed", "1"];
  const demo = spawn(process.execPath, options, {
    cwd: root,
    stdio: ["ignore", "pipe", "inherit"],
  });
  const ended = once(demo, "exit");
  const killWithUs = () => demo.kill("SIGINT");
  process.once("exit", killWithUs);
  try {
    const { addressMs, filledMs } = await moments(demo);
    const seconds = (ms: number) => `${(ms / 1000).toFixed(1)} s`;
    return [
      { name: "demo: start to its address", value: seconds(addressMs - beganMs) },
      { name: "demo: ten days filled in after that", value: seconds(filledMs - addressMs) },
    ];
  } finally {
    process.off("exit", killWithUs);
    demo.kill("SIGINT");
    await ended;
  }
}

/** When it said where it is, and when that its clock runs. */
function moments(demo: ChildProcess): Promise<{ addressMs: number; filledMs: number }> {
  let text = "";
  let addressMs: number | undefined;
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Error(`demo took too long: ${text}`)), patienceMs);
    demo.stdout?.on("data", (chunk: Buffer) => {
      text += chunk.toString();
      if (addressMs === undefined && /http:\/\/\S+/.test(text)) addressMs = performance.now();
      if (addressMs === undefined || !text.includes("clock now runs")) return;
      clearTimeout(timer);
      resolve({ addressMs, filledMs: performance.now() });
    });
    demo.once("exit", (code) => {
      clearTimeout(timer);
      reject(new Error(`demo ended with code ${code}: ${text}`));
    });
  });
}
