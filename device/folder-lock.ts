// Keeps a second program out of a board's folder: two would give the same numbers to different batches.
import { readFileSync, renameSync, unlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { z } from "zod";
import { AppError } from "../shared/errors.ts";

export type FolderLock = {
  /** Safe twice. */
  release(): void;
};

const holderSchema = z.object({ v: z.literal(1), pid: z.number().int().min(1), began: z.string() });
type Holder = z.infer<typeof holderSchema>;

/**
 * Held until released, or until the process ends however it ends. Throws AppError "conflict" when
 * another process that lives holds it; on a disk that takes no file, the folder goes unlocked.
 */
export function lockFolder(folder: string): FolderLock {
  const path = join(folder, "running.json");
  const mine: Holder = { v: 1, pid: process.pid, began: beganOf(process.pid) ?? "" };
  const holder = readHolder(path);
  if (holder !== undefined && isAlive(holder) && holder.pid !== mine.pid) {
    throw new AppError(
      "conflict",
      `the folder ${folder} requires one program at a time, got a second: process ${holder.pid} uses it; stop that one first (systemctl stop brimful-board where it is a service)`,
    );
  }
  try {
    writeFileSync(`${path}.new`, JSON.stringify(mine));
    renameSync(`${path}.new`, path);
  } catch {
    // Full or read-only: what is in the folder can't be changed by a second one either.
    return { release: () => undefined };
  }
  return {
    release() {
      if (readHolder(path)?.pid !== mine.pid) return;
      try {
        unlinkSync(path);
      } catch {
        // Read-only by now: what stays tells of a process that has ended, and holds nobody up.
      }
    },
  };
}

function readHolder(path: string): Holder | undefined {
  try {
    const holder = holderSchema.safeParse(JSON.parse(readFileSync(path, "utf8")));
    return holder.success ? holder.data : undefined;
  } catch {
    // Absent, or torn by a power cut: nobody has lived through that.
    return undefined;
  }
}

/** A number alone may meanwhile belong to another process. */
function isAlive({ pid, began }: Holder): boolean {
  const now = beganOf(pid);
  if (now !== undefined) return now === began;
  try {
    process.kill(pid, 0);
    return began === "";
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM" && began === "";
  }
}

/** Start of the machine and of the process (proc(5), field 22); undefined for none, or off Linux. */
function beganOf(pid: number): string | undefined {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, "utf8");
    const boot = readFileSync("/proc/sys/kernel/random/boot_id", "utf8").trim();
    const fields = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
    return `${boot} ${fields[19]}`;
  } catch {
    return undefined;
  }
}
