// Every way to write is either refused in a closed season or touches none of its records.
import { afterEach, beforeEach, expect, it } from "vitest";
import { listRoutes } from "../../../server/http/app.ts";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

type Asked = Awaited<ReturnType<HttpRig["post"]>>;

/** One of each record there is, in the season that is closed afterwards; by route, a try to change it. */
async function closedRecords(): Promise<Record<string, () => Promise<Asked>>> {
  await http.post("/trees", { label: "Gate" });
  await http.post("/taps", { treeId: "gate", tappedMs: startMs });
  const bucket = { label: "Gate", cell: null, tapIds: ["gate-1"], capacityL: 15, emptyKg: 1 };
  await http.post("/buckets", { ...bucket, fromMs: startMs - 1000 });
  const { body: boil } = await http.post("/boils", {});
  const sap = { kind: "sap", volumeL: 20 };
  const { body: logged } = await http.post(`/boils/${boil.id}/entries`, sap);
  const { body: batch } = await http.post("/batches", { volumeL: 1 });
  const { body: gathering } = await http.post("/gatherings", { bucketId: "gate", volumeL: 3 });
  const { body: vessel } = await http.post("/vessels", { label: "Barrel", capacityL: 100 });
  const pouredIn = { kind: "in", volumeL: 5 };
  const { body: pour } = await http.post(`/vessels/${vessel.id}/pours`, pouredIn);
  const measured = { instrument: "refractometer", readingBrix: 2 };
  const { body: sugar } = await http.post("/trees/gate/sugars", measured);
  const { body: ice } = await http.post("/ice", { bucketId: "gate", massKg: 1 });
  await http.post("/buckets/gate/washed", {});
  await http.patch("/seasons/2026", { closed: true });
  const line = `/boil-entries/${logged.entries[0].id}`;
  return {
    "POST /boils": () => http.post("/boils", {}),
    "PATCH /boils/{id}": () => http.patch(`/boils/${boil.id}`, { note: "x" }),
    "DELETE /boils/{id}": () => http.del(`/boils/${boil.id}`),
    "POST /boils/{id}/entries": () => http.post(`/boils/${boil.id}/entries`, sap),
    "PATCH /boil-entries/{id}": () => http.patch(line, { volumeL: 1 }),
    "DELETE /boil-entries/{id}": () => http.del(line),
    "POST /batches": () => http.post("/batches", { volumeL: 1 }),
    "PATCH /batches/{id}": () => http.patch(`/batches/${batch.id}`, { words: "x" }),
    "DELETE /batches/{id}": () => http.del(`/batches/${batch.id}`),
    "POST /gatherings": () => http.post("/gatherings", { bucketId: "gate", volumeL: 3 }),
    "PATCH /gatherings/{id}": () => http.patch(`/gatherings/${gathering.id}`, { struck: true }),
    "DELETE /gatherings/{id}": () => http.del(`/gatherings/${gathering.id}`),
    "POST /gatherings/{id}/vessel": () =>
      http.post(`/gatherings/${gathering.id}/vessel`, { vesselId: null }),
    "POST /taps": () => http.post("/taps", { treeId: "gate", tappedMs: startMs }),
    "PATCH /taps/{id}": () => http.patch("/taps/gate-1", { pulledMs: startMs }),
    "DELETE /taps/{id}": () => http.del("/taps/gate-1"),
    "POST /buckets": () => http.post("/buckets", { ...bucket, tapIds: [], fromMs: startMs - 1 }),
    "PATCH /buckets/{id}": () =>
      http.patch("/buckets/gate", { capacityL: 12, fromMs: startMs - 1 }),
    "POST /buckets/{id}/washed": () => http.post("/buckets/gate/washed", {}),
    "DELETE /buckets/{id}/washed": () => http.del("/buckets/gate/washed"),
    "POST /vessels": () =>
      http.post("/vessels", { label: "Can", capacityL: 20, fromMs: startMs - 1 }),
    "PATCH /vessels/{id}": () =>
      http.patch(`/vessels/${vessel.id}`, { place: "sun", fromMs: startMs - 1 }),
    "POST /vessels/{id}/pours": () => http.post(`/vessels/${vessel.id}/pours`, pouredIn),
    "POST /vessels/{id}/notes": () =>
      http.post(`/vessels/${vessel.id}/notes`, { kind: "washed", tempC: null }),
    "PATCH /pours/{id}": () => http.patch(`/pours/${pour.id}`, { struck: true }),
    "POST /trees/{id}/sugars": () => http.post("/trees/gate/sugars", measured),
    "DELETE /sugars/{id}": () => http.del(`/sugars/${sugar.id}`),
    "POST /ice": () => http.post("/ice", { bucketId: "gate", massKg: 1 }),
    "DELETE /ice/{id}": () => http.del(`/ice/${ice.id}`),
    "PATCH /seasons/{id}": () => http.patch("/seasons/2026", { jobs: { pull: true } }),
  };
}

/** What they write belongs to no season, or is made anew from readings. */
const ofNoSeason = [
  ...["PATCH /yard", "PATCH /notices", "POST /notices/test", "PATCH /sketch"],
  // What is known of a tree; one that was tapped can't be deleted, nor a bucket or vessel with a past.
  ...["POST /trees", "PATCH /trees/{id}", "DELETE /trees/{id}"],
  ...["DELETE /buckets/{id}", "DELETE /vessels/{id}"],
  // Calculations, and how the pan is set up now.
  ...["POST /syrup/plan", "POST /syrup/adjust", "POST /syrup/hydrometer", "POST /syrup/pan"],
  ...["PATCH /syrup/setup", "POST /syrup/thermometer"],
  // A round is walked now; what it gathers the cells say.
  ...["POST /rounds", "POST /rounds/end", "POST /alarms/{id}/seen", "POST /alarms/pause"],
  // What boards and forecasters say comes in late too, and calibrations are about boards.
  ...["POST /readings", "POST /forecast", "POST /boards/{id}/orders", "DELETE /boards/{id}"],
  ...["POST /corrections", "POST /corrections/preview", "DELETE /corrections/{id}"],
  // Doors and the server itself.
  ...["POST /session", "DELETE /session", "POST /viewing-links", "DELETE /viewing-links/{id}"],
  "POST /care/backup",
  // Who is told of what is about people.
  ...["POST /notice-people", "PATCH /notice-people/{id}", "DELETE /notice-people/{id}"],
  ...["POST /notice-people/{id}/test", "POST /notice-people/{id}/browsers"],
  "DELETE /notice-browsers/{id}",
];

it("refuses every change of a closed season's records, says why, and takes it once open again", async () => {
  const tries = await closedRecords();
  for (const [name, ask] of Object.entries(tries)) {
    const { status, body } = await ask();
    expect([name, status]).toEqual([name, 409]);
    expect(body.detail).toBe("2026 is closed: open it again under Season first");
  }
  await http.patch("/seasons/2026", { closed: false });
  for (const [name, ask] of Object.entries(tries).filter(([key]) => !key.startsWith("DELETE"))) {
    const { status } = await ask();
    expect([name, status < 300]).toEqual([name, true]);
  }
});

it("no way to write is forgotten", async () => {
  const writing = listRoutes(http.parts, http.signIn)
    .map(({ method, path }) => `${method.toUpperCase()} ${path}`)
    .filter((name) => !name.startsWith("GET "));
  const kept = Object.keys(await closedRecords());
  expect(writing.toSorted()).toEqual([...kept, ...ofNoSeason].toSorted());
});

it("from now on a bucket may hang elsewhere, for the next season", async () => {
  await closedRecords();
  expect((await http.patch("/buckets/gate", { capacityL: 12 })).status).toBe(200);
});
