// Runs the backup command as a process of its own: copying and checking must not hold up readings.
import { execFile } from "node:child_process";
import { promisify } from "node:util";
import { AppError } from "../../shared/errors.ts";

const run = promisify(execFile);
const mostWords = 300;

export type BackUp = (order: { dataFolder: string; folder: string }) => Promise<{ file: string }>;

/**
 * `command` is what Node is given to run the backup command: options, if any, and its path.
 * Throws AppError "storage" with the command's own words.
 */
export function createBackUp(command: readonly string[]): BackUp {
  return async ({ dataFolder, folder }) => {
    const args = [...command, "--from", dataFolder, folder];
    try {
      const { stdout } = await run(process.execPath, args);
      return { file: stdout.trim().split("\n").at(-1) ?? "" };
    } catch (cause) {
      const { stderr, message } = cause as { stderr?: string; message: string };
      const words = (stderr?.trim() || message).slice(0, mostWords);
      throw new AppError("storage", words, { cause });
    }
  };
}
