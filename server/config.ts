// Reads the server's settings from the environment and tells all problems at once.
import { isIP } from "node:net";
import { join } from "node:path";
import { z } from "zod";
import { isTimeZone } from "../shared/local-time.ts";
import { type Parsed, parsed, refused } from "../shared/parsed.ts";
import { isLoopback } from "./broker/authenticate.ts";
import { logLevels } from "./log.ts";

const hostPattern = /^[A-Za-z0-9]([A-Za-z0-9.-]*[A-Za-z0-9])?$/;
const mqttProtocols = ["mqtt:", "mqtts:"];

/** True for an address or a host name. */
export function isHost(text: string): boolean {
  return isIP(text) !== 0 || hostPattern.test(text);
}

const host = z.string().refine(isHost, "requires an address or host name");
const port = z
  .string()
  .refine((text) => /^\d{1,5}$/.test(text) && Number(text) <= 65_535, "requires a port, 0 to 65535")
  .transform(Number);
const names = z
  .string()
  .transform((text) => text.split(",").map((name) => name.trim().toLowerCase()))
  .refine(
    (list) => list.every((name) => hostPattern.test(name)),
    "requires host names with commas",
  );

const settingsSchema = z.object({
  BRIMFUL_DATA: z.string().default("./data"),
  BRIMFUL_BACKUPS: z.string().optional(),
  BRIMFUL_HTTP_HOST: host.default("127.0.0.1"),
  BRIMFUL_HTTP_PORT: port.default(8010),
  BRIMFUL_HTTP_NAMES: names.default([]),
  BRIMFUL_MQTT_HOST: host.default("127.0.0.1"),
  BRIMFUL_MQTT_PORT: port.default(1883),
  BRIMFUL_MQTT_URL: z
    .string()
    .refine(isMqttUrl, "requires mqtt://host[:port] or mqtts://host[:port]")
    .optional(),
  BRIMFUL_TLS_CERT: z.string().optional(),
  BRIMFUL_TLS_KEY: z.string().optional(),
  BRIMFUL_TZ: z.string().refine(isTimeZone, "requires a zone such as America/Toronto").optional(),
  BRIMFUL_LOG: z.enum(logLevels, `requires one of ${logLevels.join(" ")}`).default("info"),
  BRIMFUL_HOMIE: z.enum(["on", "off"], "requires on or off").default("off"),
  BRIMFUL_DEMO_NOW: z
    .string()
    .refine((text) => /^\d{1,16}$/.test(text), "requires epoch milliseconds")
    .transform(Number)
    .optional(),
});

export type Config = {
  dataFolder: string;
  /** Where a backup goes each day. */
  backupFolder: string;
  httpHost: string;
  httpPort: number;
  /** Host names beside addresses under which people open the page. */
  httpNames: string[];
  mqttHost: string;
  /** 0 picks one. */
  mqttPort: number;
  /** Of an existing broker, instead of the embedded one. */
  mqttUrl: string | undefined;
  /** In PEM, with which page and broker speak TLS: both or neither. */
  tlsCertFile: string | undefined;
  tlsKeyFile: string | undefined;
  /** Undefined: asked of the first browser. */
  timeZone: string | undefined;
  logLevel: (typeof logLevels)[number];
  /** Publishes the yard by the Homie convention too. */
  homie: boolean;
  /** Only in the demo: the time at which its clock stands until the demo lets it run. */
  demoNowMs: number | undefined;
};

export type Environment = Readonly<Record<string, string | undefined>>;

// The board program's settings may stand in the same environment.
const prefix = "BRIMFUL_";
const boardPrefix = "BRIMFUL_BOARD";

/** The problem has one line for each setting: its name, what was expected, what came. */
export function parseConfig(env: Environment): Parsed<Config> {
  // An empty value is an unset one, as in a file of settings with nothing filled in.
  const set = Object.entries(env).filter(([name, text]) => name.startsWith(prefix) && text);
  const problems = set
    .map(([name]) => name)
    .filter((name) => !Object.hasOwn(settingsSchema.shape, name) && !name.startsWith(boardPrefix))
    .map((name) => `${name} requires to be a known setting, got a name that is none`);
  const result = settingsSchema.safeParse(Object.fromEntries(set));
  for (const issue of result.error?.issues ?? []) {
    const name = String(issue.path[0]);
    problems.push(`${name} ${issue.message}, got "${shown(name, env[name])}"`);
  }
  problems.push(...loneTlsProblems(env));
  if (!result.success || problems.length > 0) return refused(problems.join("\n"));
  const settings = result.data;
  return parsed({
    dataFolder: settings.BRIMFUL_DATA,
    backupFolder: settings.BRIMFUL_BACKUPS ?? join(settings.BRIMFUL_DATA, "backups"),
    httpHost: settings.BRIMFUL_HTTP_HOST,
    httpPort: settings.BRIMFUL_HTTP_PORT,
    httpNames: settings.BRIMFUL_HTTP_NAMES,
    mqttHost: settings.BRIMFUL_MQTT_HOST,
    mqttPort: settings.BRIMFUL_MQTT_PORT,
    mqttUrl: settings.BRIMFUL_MQTT_URL,
    tlsCertFile: settings.BRIMFUL_TLS_CERT,
    tlsKeyFile: settings.BRIMFUL_TLS_KEY,
    timeZone: settings.BRIMFUL_TZ,
    logLevel: settings.BRIMFUL_LOG,
    homie: settings.BRIMFUL_HOMIE === "on",
    demoNowMs: settings.BRIMFUL_DEMO_NOW,
  });
}

function loneTlsProblems({ BRIMFUL_TLS_CERT: cert, BRIMFUL_TLS_KEY: key }: Environment): string[] {
  if (cert && !key) return ["BRIMFUL_TLS_CERT requires BRIMFUL_TLS_KEY beside it, got none"];
  if (key && !cert) return ["BRIMFUL_TLS_KEY requires BRIMFUL_TLS_CERT beside it, got none"];
  return [];
}

/** A URL may carry a password: nothing behind its "//" and before its "@" is shown. */
function shown(name: string, text = ""): string {
  const short = text.slice(0, 100);
  return name === "BRIMFUL_MQTT_URL" ? short.replace(/\/\/[^@/]*@/, "//...@") : short;
}

function isMqttUrl(text: string): boolean {
  if (!URL.canParse(text)) return false;
  const url = new URL(text);
  return mqttProtocols.includes(url.protocol) && url.hostname !== "";
}

export type Doors = {
  config: Config;
  passphraseSet: boolean;
  /** How many boards have a secret. */
  boardsEnrolled: number;
};

/** An address beyond this machine needs a passphrase or an enrolled board; each problem with its mend. */
export function doorProblems({ config, passphraseSet, boardsEnrolled }: Doors): string[] {
  const problems: string[] = [];
  if (!passphraseSet && !isThisMachine(config.httpHost)) {
    problems.push(
      `BRIMFUL_HTTP_HOST=${config.httpHost} requires a passphrase, got none; set one with: npm run passphrase`,
    );
  }
  if (boardsEnrolled === 0 && config.mqttUrl === undefined && !isThisMachine(config.mqttHost)) {
    problems.push(
      `BRIMFUL_MQTT_HOST=${config.mqttHost} requires an enrolled board, got none; enrol one with: npm run enrol -- <board>`,
    );
  }
  return problems;
}

function isThisMachine(hostName: string): boolean {
  return hostName === "localhost" || isLoopback(hostName);
}
