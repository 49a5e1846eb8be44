// npm run restore -- FILE: puts a backup in the place of the store, once it is proved sound.
import { parseArgs } from "node:util";
import { AppError } from "../../shared/errors.ts";
import { newestBackup } from "../care/backups.ts";
import { parseConfig } from "../config.ts";
import { restoreStore } from "../db/restore.ts";

async function main(): Promise<void> {
  const { positionals } = parseArgs({ args: process.argv.slice(2), allowPositionals: true });
  const config = parseConfig(process.env);
  if (!config.ok) throw new AppError("config", config.problem);
  const { dataFolder, backupFolder } = config.value;
  const [file, ...rest] = positionals;
  if (file === undefined || rest.length > 0) {
    const newest = newestBackup(backupFolder) ?? `none in ${backupFolder}`;
    const got = `got ${positionals.length}; the newest is ${newest}`;
    throw new AppError("config", `restore requires one backup file, ${got}`);
  }
  const { replaced, fromVersion, version } = await restoreStore({
    folder: dataFolder,
    file,
    nowMs: Date.now(),
  });
  console.log(`Restored ${file}${fromVersion === version ? "" : ", brought up to this version"}.`);
  if (replaced !== undefined) console.log(`What was there before is kept as ${replaced}`);
  console.log("Passphrase, enrolled names and viewing links are those of the backup again:");
  console.log("what was changed or revoked since holds no more (npm run enrol -- --list).");
  console.log("Boards send again what they still keep once the server runs: npm start");
}

main().catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 1;
});
