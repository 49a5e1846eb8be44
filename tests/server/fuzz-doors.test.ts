// Socket events and backup files that nobody meant: the server lives, others are served, and nothing is half restored.
// Set BRIMFUL_FUZZ=100 for a hundred times as many; a failure prints the seed that shows it again.
import { createHash } from "node:crypto";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { io, type Socket } from "socket.io-client";
import { afterEach, expect, it } from "vitest";
import { copyStore } from "../../server/db/copy.ts";
import { restoreStore } from "../../server/db/restore.ts";
import { openSqlite } from "../../server/db/sqlite.ts";
import { createStores } from "../../server/db/stores.ts";
import { createLive } from "../../server/live/live.ts";
import { AppError } from "../../shared/errors.ts";
import type { YardView } from "../../shared/wire/api.ts";
import { openHttpRig } from "../helpers/http-rig.ts";
import { startMs } from "../helpers/store-rig.ts";

const times = Number(process.env["BRIMFUL_FUZZ"] ?? "1");
const runs = (count: number) => ({ numRuns: Math.round(count * times) });
const patienceMs = 60_000 + 600_000 * times;

const undoing: (() => unknown)[] = [];
afterEach(async () => {
  for (const undo of undoing.splice(0).reverse()) await undo();
});

const eventName = fc.oneof(
  fc.constantFrom("yard", "change", "connect", "disconnect", "error", "disconnecting", "__proto__"),
  fc.string({ unit: "binary", maxLength: 30 }),
);
const event = fc.tuple(eventName, fc.array(fc.jsonValue({ maxDepth: 3 }), { maxLength: 3 }));
/** Packets of engine.io and socket.io begin with a digit each (their protocols 4 and 5). */
const raw = fc.oneof(
  fc.string({ unit: "binary", maxLength: 80 }),
  fc.tuple(fc.nat(9), fc.nat(9), fc.json({ maxDepth: 3 })).map((parts) => parts.join("")),
  fc.constantFrom("42[]", '42["', "451-[]", "40/nowhere,", "41", "43999[1]", "1", "6", "b////"),
  fc.nat(5000).map((length) => `4${"2".repeat(length)}`),
);
const said = fc.array(fc.oneof(event, raw), { minLength: 1, maxLength: 20 });

/** Says all of it on one socket; resolves once all is said, or the server has ended the socket. */
async function sayAll(url: string, all: ([string, unknown[]] | string)[]): Promise<void> {
  const page: Socket = io(url, { forceNew: true, reconnection: false, transports: ["websocket"] });
  await new Promise((resolve) => page.once("yard", resolve));
  const ended = new Promise((resolve) => page.once("disconnect", resolve));
  for (const one of all) {
    if (!page.connected) break;
    if (typeof one === "string") page.io.engine.write(one as never);
    // The client keeps its own names to itself; the wire does not.
    else page.io.engine.write(`42${JSON.stringify([one[0], ...one[1]])}` as never);
  }
  // Closing waits until all that was written has gone.
  page.io.engine.close();
  await ended;
}

it(
  "whatever a page says, the server lives, others hear of changes and nothing is written",
  async () => {
    const http = await openHttpRig();
    const live = createLive({ ...http, httpServer: http.server, restMs: 1 });
    live.start();
    undoing.push(() => http.close());
    undoing.push(() => live.stop());
    const other: Socket = io(http.url, { forceNew: true, reconnection: false });
    undoing.push(() => other.close());
    await new Promise<YardView>((resolve) => other.once("yard", resolve));
    const digest = () => createHash("sha1").update(http.rig.sqlite.serialize()).digest("hex");
    const before = digest();
    let nowMs = 0;
    await fc.assert(
      fc.asyncProperty(said, async (all) => {
        await sayAll(http.url, all as ([string, unknown[]] | string)[]);
        nowMs += 1;
        const heard = new Promise<{ nowMs: number }>((resolve) => other.once("change", resolve));
        http.change({ nowMs });
        expect(await heard).toEqual({ nowMs });
        expect(digest()).toBe(before);
      }),
      runs(200),
    );
  },
  patienceMs,
);

type Tear = { at: number; length: number; byte: number; how: "set" | "fill" | "cut" | "copy" };

function tornBytes(bytes: Buffer, tears: readonly Tear[]): Buffer {
  let torn = Buffer.from(bytes);
  for (const { at, length, byte, how } of tears) {
    const place = Math.floor(at * torn.length);
    if (how === "set" && torn.length > 0) torn[place] = byte;
    else if (how === "fill") torn.fill(byte, place, Math.min(place + length, torn.length));
    else if (how === "cut") torn = torn.subarray(0, place);
    else torn.copy(torn, place, 0, Math.min(length, torn.length));
  }
  return torn;
}

const place = fc.oneof(
  fc.double({ min: 0, max: 1, noNaN: true, maxExcluded: true }),
  // The header and the schema, where a byte means most.
  fc.double({ min: 0, max: 0.02, noNaN: true }),
);
const tear = fc.record({
  at: place,
  length: fc.integer({ min: 1, max: 9000 }),
  byte: fc.nat(255),
  how: fc.constantFrom(
    "set" as const,
    "set" as const,
    "fill" as const,
    "cut" as const,
    "copy" as const,
  ),
});
const file = fc.oneof(
  { weight: 9, arbitrary: fc.array(tear, { minLength: 1, maxLength: 4 }) },
  { weight: 1, arbitrary: fc.uint8Array({ maxLength: 9000 }) },
);

const tablesOf = (path: string): string => {
  const sqlite = openSqlite(path, { readonly: true });
  const found = sqlite.prepare("SELECT name, last_heard_ms FROM board ORDER BY name").all();
  sqlite.close();
  return JSON.stringify(found);
};

it(
  "whatever a backup file holds, it is refused with a reason and nothing changes, or a sound store comes of it",
  async () => {
    const folder = mkdtempSync(join(tmpdir(), "brimful-fuzz-"));
    undoing.push(() => rmSync(folder, { recursive: true }));
    const [data, sound, given] = ["data", "sound.db", "given.db"].map((name) => join(folder, name));
    const stores = createStores(data!);
    stores.boards.heard("hill", startMs);
    await copyStore(join(data!, "brimful.db"), sound!);
    stores.boards.heard("dale", startMs);
    stores.close();
    const store = join(data!, "brimful.db");
    const [whole, present, before] = [readFileSync(sound!), readFileSync(store), tablesOf(store)];
    let [refused, taken] = [0, 0];
    await fc.assert(
      fc.asyncProperty(file, async (content) => {
        const bytes = Array.isArray(content) ? tornBytes(whole, content) : Buffer.from(content);
        writeFileSync(given!, bytes);
        const order = { folder: data!, file: given!, nowMs: startMs };
        const outcome = await restoreStore(order).catch((error: unknown) => error);
        expect(existsSync(`${store}.restoring`)).toBe(false);
        if (outcome instanceof Error) {
          refused += 1;
          expect([outcome instanceof AppError, outcome.message]).toEqual([true, outcome.message]);
          expect(tablesOf(store)).toBe(before);
          return;
        }
        taken += 1;
        createStores(data!).close();
        rmSync((outcome as { replaced: string }).replaced);
        writeFileSync(store, present);
      }),
      runs(200),
    );
    expect(refused).toBeGreaterThan(20 * times);
    expect(taken).toBeGreaterThan(0);
  },
  patienceMs,
);
