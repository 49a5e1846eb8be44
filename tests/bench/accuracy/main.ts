// Measures flow, forecasts and warnings against the simulated truth: `npm run bench:accuracy [-- --only flow] [--seed 201]`.
import { parseArgs } from "node:util";
import { measureColdStart } from "./cold-start.ts";
import { printColdStart, printFlowTables } from "./flow-tables.ts";
import { type MeasureSettings, measureKind } from "./measure.ts";
import { measureFlow } from "./measure-flow.ts";
import { createProgress } from "./progress.ts";
import { kindNames, printTables } from "./tables.ts";

const full = { seasons: 3, trees: 12, days: 42 };
const quick = { seasons: 2, trees: 3, days: 12 };
/** Of the whole work, days of the flow part count as much less than days of the forecasts. */
const flowShare = 0.15;
type Part = "flow" | "brim";

function run(): void {
  const { values } = parseArgs({
    options: {
      quick: { type: "boolean", default: false },
      seasons: { type: "string" },
      seed: { type: "string", default: "201" },
      only: { type: "string" },
      kind: { type: "string" },
    },
  });
  const size = values.quick ? quick : full;
  const seasons = values.seasons === undefined ? size.seasons : Number(values.seasons);
  const seed = Number(values.seed);
  const parts = (["flow", "brim"] as const).filter((part) => (values.only ?? part) === part);
  const kinds = (["A", "B"] as const).filter((kind) => (values.kind ?? kind) === kind);
  const fewest = parts.includes("brim") ? 2 : 1;
  if (!Number.isInteger(seasons) || seasons < fewest || !Number.isInteger(seed)) {
    refuse(`--seasons of at least ${fewest} and a whole --seed`);
  }
  if (parts.length === 0 || kinds.length === 0) refuse("--only flow or brim, --kind A or B");
  console.log(
    `${seasons} seasons of ${size.days} days, ${size.trees} trees of each kind, a reading every 30 s, seeds from ${seed}`,
  );
  const shares = parts.map((part) => (part === "flow" ? flowShare : 1));
  const share = shares.reduce((sum, one) => sum + one, 0);
  const progress = createProgress(share * kinds.length * seasons * size.trees * size.days);
  if (parts.includes("flow")) printColdStart(measureColdStart(seed));
  for (const kind of kinds) {
    const onDays = progress.add;
    measurePart(parts, { ...size, seasons, seed, kind, onDays }, progress.clear);
  }
}

function measurePart(parts: readonly Part[], settings: MeasureSettings, done: () => void): void {
  console.log(`\n${kindNames[settings.kind]}`);
  if (parts.includes("flow")) {
    const onDays = (days: number) => settings.onDays?.(flowShare * days);
    const measured = measureFlow({ ...settings, onDays });
    done();
    printFlowTables(measured);
  }
  if (!parts.includes("brim")) return;
  const measured = measureKind(settings);
  done();
  printTables(measured);
}

function refuse(what: string): never {
  console.error(`bench:accuracy requires ${what}`);
  process.exit(1);
}

run();
