// Where measured reference data lies, if it does; tests that need it say aloud when they can't run.
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const besideProject = fileURLToPath(new URL("../../../shared/data", import.meta.url));
const folder = process.env["BRIMFUL_REFERENCE_DATA"] || besideProject;

/** The path of one reference file; undefined, said on the standard error, when it isn't there. */
export function referenceFile(name: string): string | undefined {
  const path = join(folder, name);
  if (existsSync(path)) return path;
  process.stderr.write(`NOT RUN: reference data ${name} isn't in ${folder}\n`);
  return undefined;
}

/** Rows of a plain CSV by column name, as text. */
export function readCsv(path: string): Record<string, string>[] {
  const [header = "", ...lines] = readFileSync(path, "utf8").trim().split("\n");
  const names = header.trim().split(",");
  return lines.map((line) => {
    const values = line.trim().split(",");
    return Object.fromEntries(names.map((name, index) => [name, values[index] ?? ""]));
  });
}
