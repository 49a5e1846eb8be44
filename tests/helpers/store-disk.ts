// A small disk of its own for a test: full or read-only at will, for root too; made with a tmpfs.
import { execFileSync } from "node:child_process";
import { closeSync, mkdtempSync, openSync, rmSync, statfsSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export type SmallDisk = {
  folder: string;
  fill(): void;
  free(): void;
  /** Leaves no room beside what is there, however large the disk is, until `grow`. */
  shrink(): void;
  grow(): void;
  setReadOnly(): void;
  remove(): void;
};

/** Undefined where this user may not mount: then the test has to say that it was skipped. */
export function mountSmallDisk(sizeMb: number): SmallDisk | undefined {
  const folder = mkdtempSync(join(tmpdir(), "brimful-disk-"));
  const kind = ["-t", "tmpfs", "-o", `size=${sizeMb}m`];
  try {
    execFileSync("mount", [...kind, "tmpfs", folder], { stdio: "ignore" });
  } catch {
    rmSync(folder, { recursive: true });
    return undefined;
  }
  const filler = join(folder, "filler");
  return {
    folder,
    fill: () => fill(filler),
    free: () => rmSync(filler),
    shrink: () => shrink(folder),
    grow: () => remount(folder, `size=${sizeMb}m`),
    setReadOnly: () => remount(folder, "ro"),
    remove() {
      execFileSync("umount", [folder], { stdio: "ignore" });
      rmSync(folder, { recursive: true });
    },
  };
}

function remount(folder: string, option: string): void {
  execFileSync("mount", ["-o", `remount,${option}`, folder], { stdio: "ignore" });
}

const spareBytes = 16_384;
const tries = 20;

/** Whoever writes meanwhile may need more than was used a moment ago. */
function shrink(folder: string): void {
  for (let left = tries; ; left -= 1) {
    const { blocks, bfree, bsize } = statfsSync(folder);
    try {
      remount(folder, `size=${(blocks - bfree) * bsize + spareBytes}`);
      return;
    } catch (error) {
      if (left === 0) throw error;
    }
  }
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
