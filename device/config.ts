// Settings of the board program, from the environment and the command line, all problems told at once.
import { parseArgs } from "node:util";
import { z } from "zod";
import { isTimeZone } from "../shared/local-time.ts";
import { type Parsed, parsed, refused } from "../shared/parsed.ts";
import { isBoardName, isName } from "../shared/wire/topics.ts";
import { logLevels } from "./log.ts";

export type BoardConfig = {
  mqttUrl: string;
  dataFolder: string;
  /** The secret of every board, or one by the board's name. */
  secretOf(board: string): string | undefined;
  logLevel: (typeof logLevels)[number];
  /** What to do: go on reading and publishing, or one of the two for a person. */
  task: (typeof tasks)[number];
  simulated: boolean;
  /** Says which boards there are and what is wired to them. */
  boardsFile: string | undefined;
  /** The board and the cell that are calibrated. */
  board: string | undefined;
  cell: string | undefined;
  /** Seconds between two readings of a quiet bucket. */
  everyS: number;
  printPlan: boolean;
  speed: number;
  seed: number;
  backfillDays: number;
  /** The present, where the demo holds its clock; undefined: the system clock's. */
  nowMs: number | undefined;
  weatherFile: string | undefined;
  truthFile: string | undefined;
  timeZone: string | undefined;
};

export type ConfigSources = {
  env: Readonly<Record<string, string | undefined>>;
  args: readonly string[];
  /** True when a demo started the program: it then fills in ten days unless told otherwise. */
  isDemo: boolean;
};

const tasks = ["run", "calibrate", "check"] as const;

const options = {
  simulated: { type: "boolean" },
  boards: { type: "string" },
  board: { type: "string" },
  cell: { type: "string" },
  every: { type: "string" },
  plan: { type: "boolean" },
  speed: { type: "string" },
  seed: { type: "string" },
  days: { type: "string" },
  now: { type: "string" },
  weather: { type: "string" },
  truth: { type: "string" },
  "time-zone": { type: "string" },
} as const;

function numberText(what: string, low: number, high: number) {
  const expected = `requires ${what} between ${low} and ${high}`;
  return z
    .string()
    .trim()
    .regex(/^[+-]?(\d+\.?\d*|\.\d+)$/, expected)
    .transform(Number)
    .pipe(z.number({ error: expected }).min(low, expected).max(high, expected));
}

function wholeText(what: string, low: number, high: number) {
  return numberText(what, low, high).refine(Number.isInteger, `requires ${what}`);
}

const pathText = z.string().min(1, "requires a path");
const schema = z.object({
  BRIMFUL_MQTT_URL: z
    .string()
    .regex(
      /^(mqtts?|tcp|ssl):\/\/[^\s/]+\/?$/,
      "requires a broker's address such as mqtt://127.0.0.1:1883",
    )
    .optional(),
  BRIMFUL_MQTT_HOST: z
    .string()
    .regex(/^[^\s/]+$/, "requires a host name or address")
    .default("127.0.0.1"),
  BRIMFUL_MQTT_PORT: wholeText("a port, a whole number", 1, 65_535).default(1883),
  BRIMFUL_BOARD_DATA: pathText.default("./data/board"),
  BRIMFUL_BOARD_SECRET: z.string().min(1, "requires a secret").optional(),
  BRIMFUL_LOG: z
    .enum(logLevels, { error: `requires one of ${logLevels.join(", ")}` })
    .default("info"),
  "--simulated": z.boolean().default(false),
  task: z.enum(tasks, { error: "requires calibrate or check, or nothing" }).default("run"),
  "--boards": pathText.optional(),
  "--board": z.string().refine(isBoardName, "requires a board's name").optional(),
  "--cell": z.string().refine(isName, "requires a cell's name").optional(),
  "--every": wholeText("seconds, a whole number", 5, 600).default(30),
  "--plan": z.boolean().default(false),
  "--speed": numberText("a number", 0.1, 100_000).default(1),
  "--seed": wholeText("a whole number", 0, 2 ** 32 - 1).default(1),
  "--days": numberText("a number of days", 0, 400).optional(),
  "--now": wholeText("milliseconds since 1970, a whole number", 0, 8.64e15).optional(),
  "--weather": pathText.optional(),
  "--truth": pathText.optional(),
  "--time-zone": z
    .string()
    .refine(isTimeZone, "requires a time zone such as America/Toronto")
    .optional(),
});
type Settings = z.infer<typeof schema>;

/** Each problem is a line: the setting, what was expected, what came. Secrets are never repeated. */
export function parseConfig({ env, args, isDemo }: ConfigSources): Parsed<BoardConfig> {
  const named = parseNamedArgs(args);
  if (!named.ok) return named;
  const fromEnv = Object.keys(schema.shape)
    .filter((name) => name.startsWith("BRIMFUL_"))
    .map((name): [string, unknown] => [name, env[name] === "" ? undefined : env[name]]);
  const given: Record<string, unknown> = { ...Object.fromEntries(fromEnv), ...named.value };
  const settings = schema.safeParse(given);
  if (settings.success) return parsed(configFrom(settings.data, isDemo));
  const problems = settings.error.issues.map((issue) => {
    const name = String(issue.path[0]);
    return `${name} ${issue.message}, got "${String(given[name])}"`;
  });
  return refused([...new Set(problems)].join("\n"));
}

function parseNamedArgs(args: readonly string[]): Parsed<Record<string, unknown>> {
  try {
    const { values, positionals } = parseArgs({
      args: [...args],
      options,
      strict: true,
      allowPositionals: true,
    });
    if (positionals.length > 1) throw new Error(`one task at a time, got ${positionals.join(" ")}`);
    const named = Object.entries(values).map(([name, value]) => [`--${name}`, value]);
    return parsed({ ...Object.fromEntries(named), task: positionals[0] });
  } catch (error) {
    const known = Object.keys(options).map((name) => `--${name}`);
    const got = error instanceof Error ? error.message : String(error);
    return refused(`the command line requires options out of ${known.join(" ")}, got: ${got}`);
  }
}

function configFrom(settings: Settings, isDemo: boolean): BoardConfig {
  const { BRIMFUL_MQTT_HOST: host, BRIMFUL_MQTT_PORT: port } = settings;
  return {
    mqttUrl:
      settings.BRIMFUL_MQTT_URL ?? `mqtt://${host.includes(":") ? `[${host}]` : host}:${port}`,
    dataFolder: settings.BRIMFUL_BOARD_DATA,
    secretOf: secretsFrom(settings.BRIMFUL_BOARD_SECRET),
    logLevel: settings.BRIMFUL_LOG,
    task: settings.task,
    simulated: settings["--simulated"],
    boardsFile: settings["--boards"],
    board: settings["--board"],
    cell: settings["--cell"],
    everyS: settings["--every"],
    printPlan: settings["--plan"],
    speed: settings["--speed"],
    seed: settings["--seed"],
    backfillDays: settings["--days"] ?? (isDemo ? 10 : 0),
    nowMs: settings["--now"],
    weatherFile: settings["--weather"],
    truthFile: settings["--truth"],
    timeZone: settings["--time-zone"],
  };
}

/** `hill=secret,dell=secret`, or one secret for all boards. */
function secretsFrom(text: string | undefined): (board: string) => string | undefined {
  if (text === undefined) return () => undefined;
  const pairs = text.split(",").map((pair) => /^([a-z0-9][a-z0-9-]{0,31})=(.+)$/.exec(pair.trim()));
  if (pairs.some((pair) => pair === null)) return () => text;
  const byBoard = new Map(pairs.map((pair) => [pair?.[1] ?? "", pair?.[2] ?? ""]));
  return (board) => byBoard.get(board);
}
