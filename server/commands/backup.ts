// npm run backup [-- FOLDER]: a checked copy of the store, also while the server runs.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { AppError } from "../../shared/errors.ts";
import { parseConfig } from "../config.ts";
import { copyStore } from "../db/copy.ts";
import { storeFile } from "../db/open.ts";
import { backupName } from "../domain/care/backup-names.ts";

/** The last line of what is printed is the file: the server runs this program too. */
async function main(): Promise<void> {
  const { values, positionals } = parseArgs({
    args: process.argv.slice(2),
    allowPositionals: true,
    options: { from: { type: "string" } },
  });
  if (positionals.length > 1) {
    throw new AppError("config", `backup requires at most one folder, got ${positionals.length}`);
  }
  const config = parseConfig(process.env);
  if (!config.ok) throw new AppError("config", config.problem);
  const folder = positionals[0] ?? config.value.backupFolder;
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const file = join(folder, backupName(Date.now()));
  await copyStore(storeFile(values.from ?? config.value.dataFolder), file);
  console.log("Backed up, and every page of the copy checked:");
  console.log(file);
}

main().catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 1;
});
