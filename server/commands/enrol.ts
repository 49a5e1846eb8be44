// npm run enrol -- <name> [--kind board|reader|forecaster] [--revoke], or --list: who may speak over MQTT.
import { parseArgs } from "node:util";
import { AppError } from "../../shared/errors.ts";
import { isBoardName, isName } from "../../shared/wire/topics.ts";
import { parseConfig } from "../config.ts";
import { openStoreBeside } from "../db/beside.ts";
import { createBoards } from "../db/boards.ts";
import { type CredentialKind, createCredentials } from "../db/credentials.ts";
import type { Sqlite } from "../db/sqlite.ts";
import { hashSecret, makeSecret } from "../secrets.ts";

const kinds: readonly string[] = ["board", "reader", "forecaster"];
const usage = "npm run enrol -- <name> [--kind board|reader|forecaster] [--revoke], or --list";

type Order = { name: string; kind: CredentialKind; revoke: boolean };

function parseOrder(args: string[]): Order | "list" {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      kind: { type: "string", default: "board" },
      revoke: { type: "boolean", default: false },
      list: { type: "boolean", default: false },
    },
  });
  if (values.list) return "list";
  const [name, ...rest] = positionals;
  if (name === undefined || rest.length > 0) {
    throw new AppError("config", `enrol requires one name, got ${positionals.length}; ${usage}`);
  }
  if (!kinds.includes(values.kind)) {
    throw new AppError("config", `--kind requires ${kinds.join(", ")}, got "${values.kind}"`);
  }
  const kind = values.kind as CredentialKind;
  if (!(kind === "board" ? isBoardName(name) : isName(name))) {
    const but = kind === "board" ? ", but not alarms or forecast" : "";
    throw new AppError("config", `name requires up to 32 of a-z 0-9 -${but}, got "${name}"`);
  }
  return { name, kind, revoke: values.revoke };
}

async function enrol(sqlite: Sqlite, { name, kind, revoke }: Order): Promise<string> {
  const credentials = createCredentials(sqlite);
  const nowMs = Date.now();
  if (revoke) {
    if (credentials.revokeCredential(name, nowMs))
      return `${name} may no longer connect; an open connection ends at once.`;
    throw new AppError("not-found", `revoking requires an enrolled name, got "${name}"`);
  }
  const isKnown = credentials.findCredential(name) !== undefined;
  const isFirst = kind === "board" && credentials.countBoards() === 0;
  const secret = makeSecret();
  credentials.saveCredential({ name, kind, ...(await hashSecret(secret)) }, nowMs);
  return [
    `${name} is enrolled as a ${kind}${isKnown ? "; its secret before is no longer good" : ""}.`,
    `MQTT user name: ${name}`,
    `MQTT password:  ${secret}`,
    "The password is shown this once and can't be read again.",
    ...(isFirst ? firstBoardLines(sqlite, name) : []),
  ].join("\n");
}

/** With the first board enrolled the door is shut to all others. */
function firstBoardLines(sqlite: Sqlite, name: string): string[] {
  const others = createBoards(sqlite)
    .listBoards()
    .map((board) => board.name)
    .filter((board) => board !== name);
  const heard = others.length === 0 ? "" : `; heard so far: ${others.join(", ")}`;
  return [
    `It is the first board enrolled: from now on every other board is refused until it is enrolled too${heard}.`,
  ];
}

function list(sqlite: Sqlite): string {
  const lines = createCredentials(sqlite)
    .listCredentials()
    .map(({ name, kind, createdMs, revokedMs }) => {
      const since = `since ${new Date(createdMs).toISOString().slice(0, 10)}`;
      const until =
        revokedMs === null ? "" : `, revoked ${new Date(revokedMs).toISOString().slice(0, 10)}`;
      return `${name.padEnd(32)} ${kind.padEnd(10)} ${since}${until}`;
    });
  return lines.length === 0 ? "Nobody is enrolled." : lines.join("\n");
}

async function main(): Promise<void> {
  const order = parseOrder(process.argv.slice(2));
  const config = parseConfig(process.env);
  if (!config.ok) throw new AppError("config", config.problem);
  const sqlite = openStoreBeside(config.value.dataFolder);
  try {
    console.log(order === "list" ? list(sqlite) : await enrol(sqlite, order));
  } finally {
    sqlite.close();
  }
}

main().catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 1;
});
