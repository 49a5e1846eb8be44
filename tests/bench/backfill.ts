// How long the demo takes to fill in ten days, all over real MQTT.
import { startDemo } from "../helpers/demo-process.ts";
import type { Figure } from "./figures.ts";

export async function backfill(): Promise<Figure[]> {
  const beganMs = performance.now();
  const demo = await startDemo(["--speed", "1"]);
  const seconds = (performance.now() - beganMs) / 1000;
  await demo.stop();
  return [{ name: "demo: start to ten days filled in", value: `${seconds.toFixed(1)} s` }];
}
