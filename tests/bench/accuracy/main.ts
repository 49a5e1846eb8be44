// Measures flow, forecasts and warnings against the simulated truth: `npm run bench:accuracy [-- --quick] [--seasons 5]`.
import { parseArgs } from "node:util";
import { measureKind } from "./measure.ts";
import { createProgress } from "./progress.ts";
import { printTables } from "./tables.ts";

const full = { seasons: 3, trees: 12, days: 42 };
const quick = { seasons: 2, trees: 3, days: 12 };

function run(): void {
  const { values } = parseArgs({
    options: {
      quick: { type: "boolean", default: false },
      seasons: { type: "string" },
      seed: { type: "string", default: "201" },
    },
  });
  const size = values.quick ? quick : full;
  const seasons = values.seasons === undefined ? size.seasons : Number(values.seasons);
  const seed = Number(values.seed);
  if (!Number.isInteger(seasons) || seasons < 2 || !Number.isInteger(seed)) {
    console.error("bench:accuracy requires --seasons of at least 2 and a whole --seed");
    process.exit(1);
  }
  console.log(
    `${seasons} seasons of ${size.days} days, ${size.trees} trees of each kind, a reading every 30 s, seeds from ${seed}`,
  );
  const progress = createProgress(2 * seasons * size.trees * size.days);
  for (const kind of ["A", "B"] as const) {
    const measured = measureKind({ ...size, seasons, seed, kind, onDays: progress.add });
    progress.clear();
    printTables(measured);
  }
}

run();
