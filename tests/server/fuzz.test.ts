// Ten thousand inputs that nobody meant: nothing crashes, no answer is a 500, a refusal leaves the store as it was.
// Set BRIMFUL_FUZZ=100 for a hundred times as many; a failure prints the seed that shows it again.
import { createHash } from "node:crypto";
import fc from "fast-check";
import { expect, it } from "vitest";
import { listRoutes } from "../../server/http/app.ts";
import { cellsFromLine } from "../../server/replay/csv.ts";
import { parseForecast } from "../../shared/wire/forecast.ts";
import { parsePack } from "../../shared/wire/pack.ts";
import { presenceSchema } from "../../shared/wire/topics.ts";
import { askInProcess } from "../helpers/http-in-process.ts";
import { type HttpRig, openHttpRig } from "../helpers/http-rig.ts";
import { packText, startMs } from "../helpers/store-rig.ts";

const times = Number(process.env["BRIMFUL_FUZZ"] ?? "1");
const runs = (count: number) => ({ numRuns: Math.round(count * times) });
const patienceMs = 60_000 + 600_000 * times;

/** A sound text with some of its bytes torn, doubled, turned or cut. */
const torn = (text: string) =>
  fc
    .array(fc.tuple(fc.nat(), fc.nat(255), fc.constantFrom("set", "drop", "double", "cut")), {
      minLength: 1,
      maxLength: 6,
    })
    .map((tears) => {
      let bytes = [...Buffer.from(text)];
      for (const [place, byte, how] of tears) {
        const at = place % Math.max(1, bytes.length);
        if (how === "set") bytes[at] = byte;
        else if (how === "drop") bytes.splice(at, 1);
        else if (how === "double") bytes = [...bytes.slice(0, at), ...bytes.slice(at / 2)];
        else bytes = bytes.slice(0, at);
      }
      return Buffer.from(bytes).toString("utf8");
    });

const id = fc.constantFrom("gate", "gate-1", "barrel", "hill", "2026", "1", "0", "-1", "é/..%2f");
const anything = fc.oneof(
  id,
  fc.integer({ min: -5, max: 40 }),
  fc.constantFrom(startMs, startMs - 1, startMs + 9e9, 1e300, -1e300, 1e-300, 2 ** 53),
  fc.constantFrom("in", "over", "boil", "sap", "wood", "washed", "zero", "cell-1", "hill/cell-1"),
  fc.boolean(),
  fc.double({ noNaN: true }),
  fc.string({ unit: "binary", maxLength: 60 }),
  fc.jsonValue({ maxDepth: 3 }),
  fc.array(fc.oneof(id, fc.jsonValue({ maxDepth: 2 })), { maxLength: 4 }),
);

it(
  "packs, forecasts and presence: whatever the bytes, a pack or a reason",
  () => {
    const name = fc.constantFrom("hill/c/mass", "c/spread", "batch", "spool", "skipped", "", "a/b");
    const record = fc.record(
      {
        bn: fc.oneof(fc.constantFrom("hill/", ""), anything),
        bt: anything,
        n: fc.oneof(name, anything),
        u: fc.oneof(fc.constantFrom("kg", "Cel", "count", "%"), anything),
        v: anything,
        vs: anything,
        t: anything,
      },
      { requiredKeys: [] },
    );
    const text = fc.oneof(
      fc.array(record, { maxLength: 6 }).map((records) => JSON.stringify(records)),
      torn(packText({ batch: 3, massesKg: [7.1, 7.2] })),
      fc.string({ unit: "binary", maxLength: 200 }),
      fc.json(),
    );
    fc.assert(
      fc.property(text, (given) => {
        const pack = parsePack(given, { board: "hill", nowMs: startMs });
        if (!pack.ok) expect(pack.problem).not.toBe("");
        else for (const { massG } of pack.value.masses) expect(Number.isFinite(massG)).toBe(true);
        const forecast = parseForecast(given, { nowMs: startMs });
        if (forecast.ok)
          for (const { atMs } of forecast.value.hours) expect(atMs).toBeGreaterThan(0);
        expect(presenceSchema.safeParse(given).success).toBe(false);
      }),
      runs(5000),
    );
  },
  patienceMs,
);

it(
  "tables of an exported season: rows or a reason",
  () => {
    const text = fc.oneof(
      torn("time,board,cell,mass_kg\n2026-03-14T15:00:00Z,hill,c,7.1\n"),
      fc.string({ unit: "binary", maxLength: 200 }),
    );
    fc.assert(
      fc.property(text, (given) => {
        for (const line of given.split("\n")) expect(cellsFromLine(line).length).toBeGreaterThan(0);
      }),
      runs(1000),
    );
  },
  patienceMs,
);

type Operation = { requestBody?: { content: Record<string, { schema: unknown }> } };
type Document = { paths: Record<string, Record<string, Operation>>; components?: unknown };

/** The names that a body's schema speaks of anywhere in it. */
function namesIn(schema: unknown): string[] {
  if (typeof schema !== "object" || schema === null) return [];
  const own = Object.keys((schema as { properties?: object }).properties ?? {});
  return [...own, ...Object.values(schema).flatMap(namesIn)];
}

async function furnish(http: HttpRig): Promise<void> {
  await http.post("/trees", { label: "Gate", girthCm: 150 });
  await http.post("/taps", { treeId: "gate", tappedMs: startMs - 9e8 });
  const make = { label: "Gate", cell: "hill/cell-1", capacityL: 15, emptyKg: 1 };
  await http.post("/buckets", { ...make, tapIds: ["gate-1"] });
  await http.post("/vessels", { label: "Barrel", capacityL: 100 });
  await http.post("/readings", packText({ batch: 1 }));
  await http.post("/gatherings", { bucketId: "gate", volumeL: 1 });
  await http.post("/boils", {});
}

const digestOf = (http: HttpRig) =>
  createHash("sha1").update(http.rig.sqlite.serialize()).digest("hex");

const refusedKept = ["/readings", "/forecast"];

type Tried = { method: string; path: string; given: string; otherId: string };

/** Sends one body; true when it was refused, and then it has left nothing. */
function createTrier(http: HttpRig): (tried: Tried) => Promise<boolean> {
  const changes = http.rig.sqlite.prepare("SELECT total_changes()").pluck();
  // Looking at all that is stored takes longer than all else: only when rows were written since, if in vain.
  let seen = { changes: -1, digest: "" };
  const look = () => {
    const now = changes.get() as number;
    if (now !== seen.changes) seen = { changes: now, digest: digestOf(http) };
    return seen.digest;
  };
  return async ({ method, path, given, otherId }) => {
    const before = look();
    const to = path.replace("{id}", encodeURIComponent(otherId));
    const asked = { method: method.toUpperCase(), path: `/api/v1${to}`, body: given };
    const { status, text } = await askInProcess(http.app, asked);
    const failure = status < 500 ? "" : text;
    expect([method, to, given, failure]).toEqual([method, to, given, ""]);
    if (status < 400) return false;
    if (!refusedKept.includes(path)) expect([to, given, look()]).toEqual([to, given, before]);
    return true;
  };
}

type Writing = { method: string; path: string; names: string[] };

/** So many bodies in a store of their own, or what was written before would make each look longer; how many were refused. */
async function tryBodies({ method, path, names }: Writing, count: number): Promise<number> {
  const http = await openHttpRig();
  await furnish(http);
  const tryIt = createTrier(http);
  const whole = fc.dictionary(fc.constantFrom(...names, "toString", "__proto__"), anything);
  const body = fc.oneof(
    { weight: 4, arbitrary: whole.map((given) => JSON.stringify(given)) },
    torn('{"label":"Gate","volumeL":2,"atMs":1,"tapIds":["gate-1"],"kind":"in"}'),
    fc.json(),
  );
  let refused = 0;
  await fc.assert(
    fc.asyncProperty(body, id, async (given, otherId) => {
      if (await tryIt({ method, path, given, otherId })) refused += 1;
    }),
    { numRuns: count },
  );
  // A connection kept open since the furnishing may have been given up meanwhile.
  const yard = await askInProcess(http.app, { method: "GET", path: "/api/v1/yard", body: "" });
  expect(yard.status).toBe(200);
  await http.close();
  return refused;
}

const mostInOne = 500;

it(
  "every body of every route: an answer below 500, and nothing written by a refusal",
  async () => {
    const first = await openHttpRig();
    const { paths } = (await first.get("/openapi.json")).body as Document;
    const writing = listRoutes(first.parts, first.signIn).filter(
      ({ method, path }) => method !== "get" && path !== "/session",
    );
    await first.close();
    let refused = 0;
    const perRoute = Math.ceil((4000 * times) / writing.length);
    for (const { method, path } of writing) {
      const schema = paths[path]?.[method]?.requestBody?.content;
      const names = [...new Set(namesIn(schema))];
      for (let left = perRoute; left > 0; left -= mostInOne) {
        refused += await tryBodies({ method, path, names }, Math.min(left, mostInOne));
      }
    }
    expect(refused).toBeGreaterThan(1000 * times);
    expect(refused).toBeLessThan(4000 * times);
  },
  patienceMs,
);
