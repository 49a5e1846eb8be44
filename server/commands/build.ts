// Builds the page and bundles server, its backup command and board program, each into one file under dist/.
import { createHash } from "node:crypto";
import { cpSync, existsSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { build as bundle, type Plugin } from "esbuild";
import { build as buildPage } from "vite";

const root = fileURLToPath(new URL("../..", import.meta.url));

/** Builds all; with `ifStale` only when a source is younger than the last build. */
export async function build(options: { ifStale?: boolean } = {}): Promise<void> {
  if (options.ifStale && !isStale()) return;
  await bundle({
    entryPoints: {
      server: join(root, "server/main.ts"),
      backup: join(root, "server/commands/backup.ts"),
      board: join(root, "device/main.ts"),
    },
    outdir: join(root, "dist"),
    outExtension: { ".js": ".mjs" },
    bundle: true,
    platform: "node",
    format: "esm",
    target: "node20",
    sourcemap: true,
    // Node keeps the text of what it runs in memory.
    minifyWhitespace: true,
    minifySyntax: true,
    plugins: [englishOnly],
    legalComments: "linked",
    // Native parts can't be bundled; the boards' libraries are loaded only where a board is wired.
    external: ["better-sqlite3", "better-sqlite3-13", "serialport", "johnny-five", "firmata-io"],
    // Some bundled packages still call require().
    banner: {
      js: 'import { createRequire as brimfulRequire } from "node:module"; const require = brimfulRequire(import.meta.url);',
    },
    logLevel: "warning",
  });
  const migrations = join(root, "dist/migrations");
  // One that another version left behind would be run too.
  rmSync(migrations, { recursive: true, force: true });
  cpSync(join(root, "server/db/migrations"), migrations, { recursive: true });
  await buildPage({ configFile: join(root, "web/vite.config.ts"), logLevel: "warn" });
  await buildWorker(join(root, "dist/web"));
}

/** The page's service worker, told which files the page is made of and a name that changes with them. */
async function buildWorker(pageFolder: string): Promise<void> {
  const files = readdirSync(pageFolder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && !entry.name.endsWith(".map"))
    .map((entry) => relative(pageFolder, join(entry.parentPath, entry.name)))
    .sort();
  const hash = createHash("sha256");
  for (const file of files) hash.update(file).update(readFileSync(join(pageFolder, file)));
  await bundle({
    entryPoints: { worker: join(root, "web/worker/worker.ts") },
    outdir: pageFolder,
    bundle: true,
    format: "iife",
    target: "es2022",
    minify: true,
    define: {
      shelfFiles: JSON.stringify(files.filter((file) => file !== "index.html")),
      shelfVersion: JSON.stringify(hash.digest("hex").slice(0, 12)),
    },
    logLevel: "warning",
  });
}

/** Of zod's forty languages the programs speak one; the others are a fifth of the board program. */
const englishOnly: Plugin = {
  name: "english only",
  setup(builder) {
    builder.onLoad({ filter: /zod[\\/]v4[\\/]locales[\\/]index\.js$/ }, () => ({
      contents: 'export { default as en } from "./en.js";',
    }));
  },
};

function isStale(): boolean {
  const built = join(root, "dist/web/index.html");
  if (!existsSync(built) || !existsSync(join(root, "dist/server.mjs"))) return true;
  const builtMs = statSync(built).mtimeMs;
  const sources = ["server", "device", "web", "shared", "package.json", "package-lock.json"];
  return sources.some((name) => youngestMs(join(root, name)) > builtMs);
}

function youngestMs(path: string): number {
  const stat = statSync(path);
  if (!stat.isDirectory()) return stat.mtimeMs;
  return Math.max(stat.mtimeMs, ...readdirSync(path).map((name) => youngestMs(join(path, name))));
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  build({ ifStale: process.argv.includes("--if-stale") }).catch((error: unknown) => {
    console.error(error instanceof Error ? error.message : error);
    process.exit(1);
  });
}
