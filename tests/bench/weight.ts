// What a browser loads before the page stands: HTML, scripts and styles, compressed.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import type { Figure } from "./figures.ts";

const folder = fileURLToPath(new URL("../../dist/web", import.meta.url));

export function weight(): Figure[] {
  const names = readdirSync(folder, { recursive: true, encoding: "utf8" });
  const loaded = names.filter((name) => /\.(html|js|css)$/.test(name));
  const bytes = loaded.reduce(
    (sum, name) => sum + gzipSync(readFileSync(join(folder, name))).length,
    0,
  );
  return [
    {
      name: "page, gzip",
      value: `${(bytes / 1000).toFixed(1)} kB`,
      goal: { text: "under 90 kB", reached: bytes < 90_000 },
    },
  ];
}
