// The board's settings: defaults, secrets by board, and all problems told at once.
import { expect, it } from "vitest";
import { type ConfigSources, parseConfig } from "../../device/config.ts";

function config(sources: Partial<ConfigSources> = {}) {
  const result = parseConfig({ env: {}, args: [], isDemo: false, ...sources });
  if (!result.ok) throw new Error(result.problem);
  return result.value;
}

function problem(sources: Partial<ConfigSources>): string {
  const result = parseConfig({ env: {}, args: [], isDemo: false, ...sources });
  return result.ok ? "" : result.problem;
}

it("has defaults for everything", () => {
  expect(config({ env: { BRIMFUL_MQTT_URL: "" } })).toMatchObject({
    mqttUrl: "mqtt://127.0.0.1:1883",
    dataFolder: "./data/board",
    logLevel: "info",
    simulated: false,
    speed: 1,
    seed: 1,
    backfillDays: 0,
  });
  expect(config({ isDemo: true }).backfillDays).toBe(10);
  expect(config({ isDemo: true, args: ["--days", "3"] }).backfillDays).toBe(3);
});

it("makes the broker's address of host and port, unless it is given whole", () => {
  const env = { BRIMFUL_MQTT_HOST: "::1", BRIMFUL_MQTT_PORT: "2000" };
  expect(config({ env }).mqttUrl).toBe("mqtt://[::1]:2000");
  expect(config({ env: { ...env, BRIMFUL_MQTT_URL: "mqtts://pi:8883" } }).mqttUrl).toBe(
    "mqtts://pi:8883",
  );
});

it("takes one secret for all boards, or one for each", () => {
  const one = config({ env: { BRIMFUL_BOARD_SECRET: "s3=cret,x" } });
  expect([one.secretOf("hill"), one.secretOf("dell")]).toEqual(["s3=cret,x", "s3=cret,x"]);
  const each = config({ env: { BRIMFUL_BOARD_SECRET: "hill=a=b, dell=c" } });
  expect([each.secretOf("hill"), each.secretOf("dell"), each.secretOf("far")]).toEqual([
    "a=b",
    "c",
    undefined,
  ]);
});

it("tells all problems at once: what was expected and what came", () => {
  const env = { BRIMFUL_MQTT_URL: "http://x", BRIMFUL_MQTT_PORT: "70000", BRIMFUL_LOG: "loud" };
  const args = ["--seed", "1.5", "--days", "many", "--time-zone", "Nowhere/None"];
  expect(problem({ env, args }).split("\n")).toEqual([
    'BRIMFUL_MQTT_URL requires a broker\'s address such as mqtt://127.0.0.1:1883, got "http://x"',
    'BRIMFUL_MQTT_PORT requires a port, a whole number between 1 and 65535, got "70000"',
    'BRIMFUL_LOG requires one of debug, info, warn, error, silent, got "loud"',
    '--seed requires a whole number, got "1.5"',
    '--days requires a number of days between 0 and 400, got "many"',
    '--time-zone requires a time zone such as America/Toronto, got "Nowhere/None"',
  ]);
});

it("knows its tasks, one at a time", () => {
  expect(config().task).toBe("run");
  const args = ["calibrate", "--board", "hill", "--cell", "cell-1"];
  expect(config({ args })).toMatchObject({ task: "calibrate", board: "hill", cell: "cell-1" });
  expect(config({ args: ["check", "--boards", "/etc/boards.json"] })).toMatchObject({
    task: "check",
    boardsFile: "/etc/boards.json",
  });
  expect(problem({ args: ["stray"] })).toBe(
    'task requires calibrate or check, or nothing, got "stray"',
  );
  expect(problem({ args: ["check", "calibrate"] })).toContain("one task at a time");
  expect(problem({ args: ["--every", "4"] })).toContain("seconds, a whole number");
});

it.each([[["--frobnicate"]], [["--seed"]]])("refuses the arguments %j", (args) => {
  expect(problem({ args })).toMatch(
    /^the command line requires options out of --simulated .*, got: /,
  );
});
