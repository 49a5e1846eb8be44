// What a browser loads before the page stands: HTML, scripts and styles, compressed.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import type { Figure } from "./figures.ts";

const folder = fileURLToPath(new URL("../../dist/web", import.meta.url));

export function weight(): Figure[] {
  const page = readFileSync(join(folder, "index.html"), "utf8");
  // Views that are fetched when they are first opened aren't named in the page.
  const named = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter(
    (name) => /\.(js|css)$/.test(name) && page.includes(name),
  );
  const bytes = ["index.html", ...named].reduce(
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
