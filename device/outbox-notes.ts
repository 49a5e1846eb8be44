// The two small files beside an outbox's batches: its spool id, and what the server said it keeps.
import { readFileSync } from "node:fs";
import { rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { z } from "zod";
import { replaceFile } from "./durable-file.ts";

const spoolSchema = z.object({ v: z.literal(1), spool: z.string().min(1).max(64) });
const keptNoteSchema = z.object({
  v: z.literal(1),
  spool: z.string(),
  store: z.string(),
  through: z.number().int().min(0),
});

export type KeptNote = { store: string | undefined; through: number };

function readNote<T>(path: string, schema: z.ZodType<T>): T | undefined {
  try {
    const note = schema.safeParse(JSON.parse(readFileSync(path, "utf8")));
    return note.success ? note.data : undefined;
  } catch (error) {
    // Absent, or torn by a power cut: both notes can be made anew, at worst batches are sent again.
    const absent = (error as NodeJS.ErrnoException).code === "ENOENT";
    if (absent || error instanceof SyntaxError) return undefined;
    throw error;
  }
}

/** The spool id of an outbox, made and put safely on disk when there is none yet. */
export function openSpool(folder: string, newSpool: () => string): string {
  const path = join(folder, "spool.json");
  const known = readNote(path, spoolSchema);
  if (known !== undefined) return known.spool;
  const spool = newSpool();
  replaceFile(path, JSON.stringify({ v: 1, spool }));
  return spool;
}

export function readKeptNote(folder: string, spool: string): KeptNote {
  const note = readNote(join(folder, "kept.json"), keptNoteSchema);
  if (note?.spool !== spool) return { store: undefined, through: 0 };
  return { store: note.store, through: note.through };
}

/** Replaces the note as a whole; a failure is left to the caller. */
export async function writeKeptNote(
  folder: string,
  note: { spool: string; store: string; through: number },
): Promise<void> {
  const path = join(folder, "kept.json");
  await writeFile(`${path}.new`, JSON.stringify({ v: 1, ...note }));
  await rename(`${path}.new`, path);
}
