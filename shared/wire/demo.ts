// What the demo command and the simulated board program tell each other over their process channel.
import { z } from "zod";

const ms = z.number().min(0).max(8.64e15);

/** Demo -> board: from `runsFromRealMs` on the clock runs `speed` times as fast as the real one. */
export const demoOrderSchema = z.object({
  kind: z.literal("run"),
  heldAtMs: ms,
  runsFromRealMs: ms,
  speed: z.number().positive().max(100_000),
});
export type DemoOrder = z.infer<typeof demoOrderSchema>;

/** Board -> demo: how much of the past the server has kept (0-1), and that all of it is kept. */
export const demoReportSchema = z.discriminatedUnion("kind", [
  z.object({ kind: z.literal("backfill"), done: z.number().min(0).max(1) }),
  z.object({ kind: z.literal("backfilled") }),
]);
export type DemoReport = z.infer<typeof demoReportSchema>;

/** Server -> demo: where it can be reached. */
export const demoServerReportSchema = z.object({
  kind: z.literal("listening"),
  httpUrl: z.string(),
  mqttPort: z.number().int(),
});
export type DemoServerReport = z.infer<typeof demoServerReportSchema>;
