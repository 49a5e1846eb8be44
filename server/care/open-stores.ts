// Opens the stores for the server, or tells the way out when they are damaged.
import { AppError } from "../../shared/errors.ts";
import type { Config } from "../config.ts";
import { createStores, type Stores } from "../db/stores.ts";
import type { Log } from "../log.ts";
import { newestBackup } from "./backups.ts";

/** Throws AppError "storage-damaged" with the command that mends it, and what createStores throws. */
export function openStores({ dataFolder, backupFolder }: Config, log: Log): Stores {
  try {
    const stores = createStores(dataFolder);
    if (stores.wasCutOff) log.warn("cut off before, every page of the store is sound");
    return stores;
  } catch (cause) {
    if (!(cause instanceof AppError) || cause.code !== "storage-damaged") throw cause;
    const newest = newestBackup(backupFolder) ?? "FILE";
    const mend = `bring back a backup, which keeps the damaged file too: npm run restore -- ${newest}`;
    throw new AppError("storage-damaged", `${cause.message}; ${mend}`, { cause });
  }
}
