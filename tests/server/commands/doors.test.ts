// Tests the commands that enrol boards and set the passphrase, run as a person runs them.
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { text } from "node:stream/consumers";
import { fileURLToPath } from "node:url";
import { afterAll, expect, test } from "vitest";
import { createBoards } from "../../../server/db/boards.ts";
import { createCredentials } from "../../../server/db/credentials.ts";
import { openStore } from "../../../server/db/open.ts";
import { createSettings } from "../../../server/db/settings.ts";
import { createPassphrase } from "../../../server/passphrase.ts";
import { isSecret } from "../../../server/secrets.ts";

const folder = mkdtempSync(join(tmpdir(), "brimful-commands-"));
const sqlite = openStore(folder);
afterAll(() => {
  sqlite.close();
  rmSync(folder, { recursive: true });
});

async function run(command: string, args: string[] = [], input = "") {
  const path = fileURLToPath(new URL(`../../../server/commands/${command}.ts`, import.meta.url));
  const child = spawn(process.execPath, ["--import", "tsx", path, ...args], {
    env: { PATH: process.env["PATH"], BRIMFUL_DATA: folder },
  });
  child.stdin.end(input);
  const [output, errors] = await Promise.all([text(child.stdout), text(child.stderr)]);
  return { output, errors: errors.trim() };
}

const secretIn = (output: string) => /MQTT password: +(\S+)/.exec(output)?.[1] ?? "";

test("enrol prints a secret once that is kept only as a hash, a second time another, and revokes it", async () => {
  const credentials = createCredentials(sqlite);
  createBoards(sqlite).heard("dell", 1);
  const { output } = await run("enrol", ["hill"]);
  expect(output).toMatch(/every other board is refused until it is enrolled too.*dell/);
  const first = secretIn(output);
  expect(first).toMatch(/^[\w-]{27}$/);
  const stored = credentials.findCredential("hill")!;
  expect(stored.kind).toBe("board");
  expect(JSON.stringify(stored)).not.toContain(first);
  expect(await isSecret(first, stored)).toBe(true);
  const second = secretIn((await run("enrol", ["hill"])).output);
  expect(await isSecret(first, credentials.findCredential("hill")!)).toBe(false);
  expect(await isSecret(second, credentials.findCredential("hill")!)).toBe(true);
  expect((await run("enrol", ["hill", "--revoke"])).output).toBe(
    "hill may no longer connect; an open connection ends at once.\n",
  );
  expect(credentials.findCredential("hill")).toBeUndefined();
  expect(credentials.countBoards()).toBe(0);
});

test("enrol lists who may connect and who no longer, with nothing of their secrets", async () => {
  await run("enrol", ["kitchen", "--kind", "reader"]);
  const today = new Date().toISOString().slice(0, 10);
  const { output } = await run("enrol", ["--list"]);
  expect(
    output
      .trim()
      .split("\n")
      .map((line) => line.replaceAll(/ +/g, " ")),
  ).toEqual([`hill board since ${today}, revoked ${today}`, `kitchen reader since ${today}`]);
});

test("enrol refuses what is no name or kind, in one line", async () => {
  expect((await run("enrol", ["alarms"])).errors).toContain("but not alarms or forecast");
  expect((await run("enrol", ["hill", "--kind", "king"])).errors).toBe(
    '--kind requires board, reader, forecaster, got "king"',
  );
  expect((await run("enrol")).errors).toContain("enrol requires one name, got 0");
  expect((await run("enrol", ["dale", "--revoke"])).errors).toBe(
    'revoking requires an enrolled name, got "dale"',
  );
});

test("the passphrase is set from the standard input, checked, refused when short, and removed", async () => {
  const passphrase = createPassphrase(createSettings(sqlite));
  expect((await run("passphrase", [], "short\n")).errors).toBe(
    "passphrase requires 8 to 1000 characters, got 5",
  );
  expect(passphrase.isPassphraseSet()).toBe(false);
  expect(await passphrase.checkPassphrase("")).toBe(false);
  await run("passphrase", [], "sap runs at noon\n");
  expect(await passphrase.checkPassphrase("sap runs at noon")).toBe(true);
  expect(await passphrase.checkPassphrase("sap runs at night")).toBe(false);
  await run("passphrase", ["--remove"]);
  expect(passphrase.isPassphraseSet()).toBe(false);
  expect(await passphrase.checkPassphrase("sap runs at noon")).toBe(false);
});

test("a passphrase piped twice is one that is the same twice, without the line break between", async () => {
  const passphrase = createPassphrase(createSettings(sqlite));
  await run("passphrase", [], "sap runs at noon\nsap runs at noon\n");
  expect(await passphrase.checkPassphrase("sap runs at noon")).toBe(true);
  expect((await run("passphrase", [], "sap runs at noon\nat night it rests\n")).errors).toContain(
    "the same twice, got two that differ",
  );
  expect((await run("passphrase", [], "one line\none line\none line\n")).errors).toContain("got 3");
  await run("passphrase", ["--remove"]);
});
