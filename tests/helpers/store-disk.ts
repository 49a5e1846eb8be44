// A small disk of its own for a test: full or read-only at will, for root too; made with a tmpfs.
import { execFileSync } from "node:child_process";
import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export type SmallDisk = {
  folder: string;
  fill(): void;
  free(): void;
  setReadOnly(): void;
  remove(): void;
};

/** Undefined where this user may not mount: then the test has to say that it was skipped. */
export function mountSmallDisk(sizeMb: number): SmallDisk | undefined {
  const folder = mkdtempSync(join(tmpdir(), "brimful-disk-"));
  const quiet = { stdio: "ignore" } as const;
  try {
    execFileSync("mount", ["-t", "tmpfs", "-o", `size=${sizeMb}m`, "tmpfs", folder], quiet);
  } catch {
    rmSync(folder, { recursive: true });
    return undefined;
  }
  const filler = join(folder, "filler");
  return {
    folder,
    fill: () => fill(filler),
    free: () => rmSync(filler),
    setReadOnly: () => execFileSync("mount", ["-o", "remount,ro", folder], quiet),
    remove() {
      execFileSync("umount", [folder], quiet);
      rmSync(folder, { recursive: true });
    },
  };
}

function fill(path: string): void {
  const file = openSync(path, "w");
  const chunk = Buffer.alloc(4096);
  try {
    for (;;) writeSync(file, chunk);
  } catch (error) {
    if ((error as { code?: string }).code !== "ENOSPC") throw error;
  } finally {
    closeSync(file);
  }
}

export const whyNoDisk = "not proved here: mounting a small disk needs root, got another user";
