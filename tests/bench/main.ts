// Measures what the README claims, in one run: `npm run bench [-- ingest latency ...]`.
import { cpus, totalmem } from "node:os";
import { build } from "../../server/commands/build.ts";
import { backfill } from "./backfill.ts";
import { board } from "./board.ts";
import { brim } from "./brim.ts";
import { curve } from "./curve.ts";
import { type Figure, print } from "./figures.ts";
import { filter } from "./filter.ts";
import { flood } from "./flood.ts";
import { ingest } from "./ingest.ts";
import { latency } from "./latency.ts";
import { memory } from "./memory.ts";
import { page } from "./page.ts";
import { planner } from "./rounds.ts";
import { startup } from "./startup.ts";
import { weight } from "./weight.ts";

const all: Record<string, () => Figure[] | Promise<Figure[]>> = {
  weight,
  page,
  startup,
  curve,
  brim,
  filter,
  planner,
  memory,
  board,
  latency,
  ingest,
  flood,
  backfill,
};

async function run(): Promise<void> {
  const asked = process.argv.slice(2);
  const unknown = asked.filter((name) => !(name in all));
  if (unknown.length > 0) {
    console.error(`bench requires some of ${Object.keys(all).join(" ")}, got ${unknown.join(" ")}`);
    process.exit(1);
  }
  await build({ ifStale: true });
  const memoryGb = (totalmem() / 1e9).toFixed(0);
  console.log(`Node ${process.versions.node}, ${cpus().length} cores, ${memoryGb} GB`);
  for (const [name, measure] of Object.entries(all)) {
    if (asked.length === 0 || asked.includes(name)) print(await measure());
  }
}

await run();
