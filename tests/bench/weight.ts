// What a browser loads before the page stands, and what it has loaded once every view was opened; compressed.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import type { Figure } from "./figures.ts";

const folder = fileURLToPath(new URL("../../dist/web", import.meta.url));

export function weight(): Figure[] {
  const page = readFileSync(join(folder, "index.html"), "utf8");
  const all = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter((name) =>
    /^assets\/.*\.(js|css)$/.test(name),
  );
  // Views that are fetched when they are first opened aren't named in the page.
  const named = all.filter((name) => page.includes(name));
  const bytes = packedBytes(["index.html", ...named]);
  return [
    {
      name: "page, gzip",
      value: inKb(bytes),
      goal: { text: "under 90 kB", reached: bytes < 90_000 },
    },
    { name: "page with every view, gzip", value: inKb(packedBytes(["index.html", ...all])) },
  ];
}

function packedBytes(names: readonly string[]): number {
  return names.reduce((sum, name) => sum + gzipSync(readFileSync(join(folder, name))).length, 0);
}

function inKb(bytes: number): string {
  return `${(bytes / 1000).toFixed(1)} kB`;
}
