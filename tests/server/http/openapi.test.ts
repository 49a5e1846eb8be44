// The OpenAPI document: every route is in it, and what the routes answer conforms to it.
import { afterEach, beforeEach, expect, test } from "vitest";
import { listRoutes } from "../../../server/http/app.ts";
import { askNoticePeople } from "../../helpers/ask-notice-people.ts";
import { bucketView, type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { packText, startMs } from "../../helpers/store-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

type Schema = Record<string, unknown>;
type Operation = {
  responses: Record<string, { content?: Record<string, { schema: Schema }> }>;
  requestBody?: { content: Record<string, { schema: Schema }> };
  parameters?: { name: string; in: string }[];
  operationId: string;
};
type Document = { openapi: string; paths: Record<string, Record<string, Operation>> };

test("it is OpenAPI 3.1 and tells every route there is, the contract's and no other", async () => {
  const document = (await http.get("/openapi.json")).body as Document;
  expect(document.openapi).toBe("3.1.0");
  const told = Object.entries(document.paths).flatMap(([path, operations]) =>
    Object.keys(operations).map((method) => `${method.toUpperCase()} ${path}`),
  );
  expect(told.sort()).toEqual(contract.toSorted());
  const ids = Object.values(document.paths).flatMap((operations) =>
    Object.values(operations).map((operation) => operation.operationId),
  );
  expect(new Set(ids).size).toBe(ids.length);
});

const tables = [
  "readings",
  "temperatures",
  "buckets",
  "flow",
  "gatherings",
  "trees",
  "taps",
  "hangings",
  "days",
  "boils",
].concat(
  ["boil-entries", "batches", "alarms", "seasons", "vessels", "vessel-notes", "pours"],
  ["sugars", "ice", "rounds", "washings"],
);
const contract = [
  ...["GET /yard", "PATCH /yard", "GET /trees/compare", "GET /buckets/{id}/curve"],
  ...["GET /trees/curves", "GET /trees/after-thaw", "GET /buckets/{id}/ahead"],
  ...["trees", "taps", "buckets", "gatherings", "vessels"].flatMap((name) => [
    `GET /${name}`,
    `POST /${name}`,
    `PATCH /${name}/{id}`,
    `DELETE /${name}/{id}`,
  ]),
  ...["POST /buckets/{id}/washed", "DELETE /buckets/{id}/washed"],
  ...["GET /record", "GET /season/hints"],
  ...["GET /vessels/{id}/pours", "POST /vessels/{id}/pours", "PATCH /pours/{id}"],
  ...["POST /vessels/{id}/notes", "POST /gatherings/{id}/vessel"],
  ...["GET /rounds/next", "GET /rounds/current", "POST /rounds", "POST /rounds/end", "GET /rounds"],
  ...["GET /sketch", "PATCH /sketch", "GET /ice", "POST /ice", "DELETE /ice/{id}"],
  ...["GET /sugars", "POST /trees/{id}/sugars", "DELETE /sugars/{id}"],
  ...["GET /alarms", "POST /alarms/{id}/seen", "POST /alarms/pause"],
  ...["POST /boards/{id}/orders", "DELETE /boards/{id}"],
  ...["GET /corrections", "POST /corrections", "POST /corrections/preview"],
  "DELETE /corrections/{id}",
  ...["POST /syrup/plan", "GET /syrup/setup", "PATCH /syrup/setup"],
  ...["GET /syrup/thermometer", "POST /syrup/thermometer"],
  ...["POST /syrup/adjust", "POST /syrup/hydrometer", "POST /syrup/pan"],
  ...["boils", "batches"].flatMap((name) => [
    `GET /${name}`,
    `POST /${name}`,
    `PATCH /${name}/{id}`,
    `DELETE /${name}/{id}`,
  ]),
  ...["POST /boils/{id}/entries", "PATCH /boil-entries/{id}", "DELETE /boil-entries/{id}"],
  ...["POST /readings", "GET /forecast", "POST /forecast", "GET /forecast/days"],
  ...["GET /notices", "PATCH /notices", "POST /notices/test"],
  ...["GET /notice-people", "POST /notice-people", "PATCH /notice-people/{id}"],
  ...["DELETE /notice-people/{id}", "POST /notice-people/{id}/test"],
  ...["GET /push-key", "POST /notice-people/{id}/browsers", "DELETE /notice-browsers/{id}"],
  ...["GET /session", "POST /session", "DELETE /session"],
  ...["GET /seasons", "PATCH /seasons/{id}", "GET /seasons/{id}/report"],
  ...tables.map((name) => `GET /export/${name}.csv`),
  ...["GET /viewing-links", "POST /viewing-links", "DELETE /viewing-links/{id}"],
  ...["GET /care", "POST /care/backup", "GET /backup"],
  "GET /joining",
  "GET /openapi.json",
];

test("every route of it answers, and with a schema's own shape, nothing more and nothing less", async () => {
  http.view.buckets.push(bucketView("gate"));
  http.answers.push({ channel: "email", ok: true, answer: "250 ok", atMs: startMs });
  const asked = await askEverything();
  for (const route of listRoutes(http.parts, http.signIn)) {
    const name = `${route.method.toUpperCase()} ${route.path}`;
    const answer = asked.get(name);
    expect(answer, name).toBeDefined();
    expect([name, answer!.status]).toEqual([
      name,
      route.status ?? (route.answer || route.answerType ? 200 : 204),
    ]);
    if (route.answer) expect(route.answer.parse(answer!.body), name).toEqual(answer!.body);
  }
});

async function askEverything() {
  const answers = new Map<string, { status: number; body: unknown }>();
  const ask = async (method: string, path: string, { at = path, body }: Ask = {}) => {
    const response = await http.send(method, `/api/v1${at}`, { body });
    const text = await response.text();
    const isJson = (response.headers.get("content-type") ?? "").includes("json");
    answers.set(`${method} ${path}`, {
      status: response.status,
      body: isJson ? JSON.parse(text) : text,
    });
  };
  const pail = { label: "Gate", cell: "hill/cell-1", capacityL: 15, emptyKg: 0.9 };
  await ask("PATCH", "/yard", { body: { name: "Hill" } });
  await ask("GET", "/yard");
  await ask("POST", "/trees", { body: { label: "Gate" } });
  await ask("POST", "/taps", { body: { treeId: "gate" } });
  await ask("POST", "/buckets", { body: { ...pail, tapIds: ["gate-1"] } });
  await ask("POST", "/gatherings", { body: { bucketId: "gate", volumeL: 1 } });
  await askOfVessels(ask);
  await askOfRounds(ask);
  await ask("POST", "/readings", { body: packText({ batch: 1 }) });
  const wish = { cell: "hill/cell-1", fromMs: startMs - 1, untilMs: startMs };
  const scale = { zeroCounts: 0, countsPerG: 100 };
  const cellKey = http.rig.boards.findCell("hill", "cell-1")!.key;
  const weighed = { massG: 7000, spreadG: null, counts: 700_000 };
  http.rig.readings.insertReading({ cellKey, atMs: startMs - 1, ...weighed });
  await ask("POST", "/boards/{id}/orders", {
    at: "/boards/hill/orders",
    body: { order: "zero", cell: "cell-1" },
  });
  http.rig.boards.setPresence("old", { v: 1, online: false }, startMs);
  await ask("DELETE", "/boards/{id}", { at: "/boards/old" });
  await ask("POST", "/corrections/preview", { body: { ...wish, ...scale } });
  await ask("POST", "/corrections", { body: { ...wish, ...scale } });
  await ask("GET", "/corrections");
  await ask("DELETE", "/corrections/{id}", { at: "/corrections/1" });
  const hour = { n: "forecast/air", u: "Cel", t: startMs / 1000 + 3600, v: 1 };
  await ask("POST", "/forecast", { body: [hour] });
  const raised = { kind: "brim", subject: "gate", severity: "soon", text: "fills" } as const;
  const brim = { probability: 0.5, t10Ms: startMs, t50Ms: startMs, t90Ms: null };
  http.parts.alarms.insert({ ...raised, raisedAtMs: startMs, brim, noticed: {} });
  for (const name of ["trees", "taps", "buckets", "gatherings", "alarms", "forecast"]) {
    await ask("GET", `/${name}`);
  }
  await ask("POST", "/buckets/{id}/washed", { at: "/buckets/gate/washed", body: {} });
  await ask("DELETE", "/buckets/{id}/washed", { at: "/buckets/gate/washed" });
  await askKitchen(ask);
  await ask("GET", "/forecast/days");
  await ask("GET", "/trees/compare");
  await ask("GET", "/trees/curves", { at: "/trees/curves?fromMs=1&toMs=2" });
  await ask("GET", "/trees/after-thaw");
  await ask("GET", "/buckets/{id}/ahead", { at: "/buckets/gate/ahead" });
  await ask("GET", "/record");
  await ask("GET", "/season/hints");
  await ask("GET", "/buckets/{id}/curve", { at: "/buckets/gate/curve?fromMs=1&toMs=2" });
  await ask("POST", "/alarms/{id}/seen", { at: "/alarms/1/seen" });
  await ask("POST", "/alarms/pause", { body: { minutes: 5 } });
  await ask("PATCH", "/notices", { body: { webhook: { url: "http://127.0.0.1:9/x" } } });
  await ask("GET", "/notices");
  await ask("POST", "/notices/test");
  await askNoticePeople(ask);
  await ask("GET", "/session");
  await ask("DELETE", "/session");
  for (const name of tables) await ask("GET", `/export/${name}.csv`);
  await ask("GET", "/openapi.json");
  await ask("GET", "/care");
  await ask("GET", "/joining");
  await ask("POST", "/care/backup");
  await ask("GET", "/backup");
  await ask("PATCH", "/trees/{id}", { at: "/trees/gate", body: { note: "x" } });
  await ask("PATCH", "/taps/{id}", { at: "/taps/gate-1", body: { label: "x" } });
  await ask("PATCH", "/buckets/{id}", { at: "/buckets/gate", body: { label: "x" } });
  await ask("PATCH", "/gatherings/{id}", { at: "/gatherings/1", body: { note: "x" } });
  await ask("DELETE", "/gatherings/{id}", { at: "/gatherings/1" });
  await ask("DELETE", "/vessels/{id}", { at: "/vessels/can" });
  await ask("DELETE", "/buckets/{id}", { at: "/buckets/gate" });
  await ask("DELETE", "/taps/{id}", { at: "/taps/gate-1" });
  await ask("DELETE", "/trees/{id}", { at: "/trees/gate" });
  for (const [name, answer] of await askBehindPassphrase()) answers.set(name, answer);
  return answers;
}

type Asking = (method: string, path: string, ask?: Ask) => Promise<void>;

async function askKitchen(ask: Asking) {
  await ask("GET", "/syrup/setup");
  await ask("PATCH", "/syrup/setup", { body: { panAreaM2: 0.33 } });
  await ask("POST", "/syrup/thermometer", { body: { readingC: 99.9 } });
  await ask("GET", "/syrup/thermometer");
  await ask("POST", "/syrup/plan", { body: {} });
  await ask("POST", "/syrup/adjust", { body: { volumeL: 2, brix: 64, aimBrix: 66 } });
  await ask("POST", "/syrup/hydrometer", { body: { readingBrix: 59, tempC: 99 } });
  await ask("POST", "/syrup/pan", { body: { readingC: 103.5 } });
  await ask("POST", "/boils", { body: {} });
  const entry = { kind: "pan", tempC: 103 };
  await ask("POST", "/boils/{id}/entries", { at: "/boils/1/entries", body: entry });
  await ask("PATCH", "/boil-entries/{id}", { at: "/boil-entries/1", body: { tempC: 102 } });
  await ask("GET", "/boils");
  await ask("PATCH", "/boils/{id}", { at: "/boils/1", body: { note: "x" } });
  await ask("POST", "/batches", { body: { volumeL: 1, transmissionPercent: 60, fillTempC: 86 } });
  await ask("GET", "/batches");
  await ask("PATCH", "/batches/{id}", { at: "/batches/1", body: { words: "x" } });
  await ask("PATCH", "/seasons/{id}", { at: "/seasons/2026", body: { jobs: { pull: true } } });
  await ask("GET", "/seasons");
  await ask("GET", "/seasons/{id}/report", { at: "/seasons/2026/report" });
  await ask("DELETE", "/batches/{id}", { at: "/batches/1" });
  await ask("DELETE", "/boil-entries/{id}", { at: "/boil-entries/1" });
  await ask("DELETE", "/boils/{id}", { at: "/boils/1" });
}

async function askOfRounds(ask: Asking) {
  await ask("GET", "/rounds/next");
  await ask("POST", "/rounds");
  await ask("GET", "/rounds/current");
  await ask("POST", "/rounds/end");
  await ask("GET", "/rounds");
  await ask("PATCH", "/sketch", { body: { places: [{ place: "home", xM: 1, yM: 2 }] } });
  await ask("GET", "/sketch");
  await ask("POST", "/ice", { body: { bucketId: "gate", massKg: 1.5 } });
  await ask("GET", "/ice");
  await ask("DELETE", "/ice/{id}", { at: "/ice/1" });
}

async function askOfVessels(ask: Asking) {
  await ask("POST", "/vessels", { body: { label: "Barrel", capacityL: 100 } });
  await ask("POST", "/vessels", { body: { label: "Can", capacityL: 20 } });
  const sugar = { instrument: "refractometer", readingBrix: 2.1 };
  await ask("POST", "/trees/{id}/sugars", { at: "/trees/gate/sugars", body: sugar });
  await ask("GET", "/sugars");
  await ask("DELETE", "/sugars/{id}", { at: "/sugars/1" });
  await ask("GET", "/vessels");
  await ask("PATCH", "/vessels/{id}", { at: "/vessels/barrel", body: { place: "sun" } });
  const poured = { kind: "in", volumeL: 3 };
  await ask("POST", "/vessels/{id}/pours", { at: "/vessels/barrel/pours", body: poured });
  await ask("GET", "/vessels/{id}/pours", { at: "/vessels/barrel/pours" });
  await ask("PATCH", "/pours/{id}", { at: "/pours/1", body: { note: "x" } });
  await ask("POST", "/vessels/{id}/notes", {
    at: "/vessels/barrel/notes",
    body: { kind: "washed" },
  });
  const into = { vesselId: "barrel" };
  await ask("POST", "/gatherings/{id}/vessel", { at: "/gatherings/1/vessel", body: into });
}

type Ask = { at?: string; body?: unknown };

/** Signing in and links need a passphrase, which the rest of the test does without. */
async function askBehindPassphrase() {
  const other = await openHttpRig({ hasPassphrase: true, checkPassphrase: async () => true });
  const cookie = { cookie: `brimful_session=${other.signIn.begin()}` };
  const link = await other.post("/viewing-links", { label: "Kin" }, cookie);
  const answers = [
    ["POST /session", await other.post("/session", { passphrase: "x" })],
    ["POST /viewing-links", link],
    ["GET /viewing-links", await other.get("/viewing-links", cookie)],
    ["DELETE /viewing-links/{id}", await other.del(`/viewing-links/${link.body.id}`, cookie)],
  ] as const;
  await other.close();
  return answers;
}

test("a body's schema refuses what the route refuses", async () => {
  const document = (await http.get("/openapi.json")).body as Document;
  const post = document.paths["/buckets"]!["post"]!;
  const schema = post.requestBody!.content["application/json"]!.schema;
  expect(schema).toMatchObject({
    type: "object",
    additionalProperties: false,
    required: ["label", "capacityL", "emptyKg"],
  });
  expect(Object.keys(post.responses)).toEqual(["201", "default"]);
  expect(document.paths["/buckets/{id}/curve"]!["get"]!.parameters).toMatchObject([
    { name: "id", in: "path" },
    { name: "fromMs", in: "query" },
    { name: "toMs", in: "query" },
    { name: "stepMs", in: "query" },
  ]);
});
