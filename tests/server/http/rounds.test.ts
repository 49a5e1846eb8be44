// The round over HTTP: planned, set out on, ticked off, ended; the sketch and the ice, and every refusal.
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
  await http.post("/trees", { label: "Gate" });
  await http.post("/taps", { treeId: "gate" });
  await http.post("/buckets", { label: "Gate", capacityL: 15, emptyKg: 0.9, tapIds: ["gate-1"] });
});
afterEach(() => http.close());

describe("the walk", () => {
  test("setting out keeps the plan and holds notices; gatherings tick it off; the end lets them go", async () => {
    expect((await http.get("/rounds/current")).body).toEqual({ round: null });
    const plan = (await http.get("/rounds/next")).body;
    await http.post("/gatherings", { bucketId: "gate", volumeL: 1, atMs: startMs - 1 });
    const set = await http.post("/rounds");
    expect(set.status).toBe(201);
    expect(set.body.round).toEqual({ startedMs: startMs, plan, gathered: [] });
    // Twice the twelve minutes planned.
    expect((await http.get("/yard")).body.yard.pausedUntilMs).toBe(startMs + 24 * 60_000);
    http.rig.clock.advance(60_000);
    await http.post("/gatherings", { bucketId: "gate", volumeL: 4 });
    const { gathered } = (await http.get("/rounds/current")).body.round;
    expect(gathered).toEqual([
      { bucketId: "gate", atMs: startMs + 60_000, volumeL: 4, by: "hand" },
    ]);
    await http.patch("/gatherings/2", { struck: true });
    expect((await http.get("/rounds/current")).body.round.gathered).toEqual([]);
    expect((await http.post("/rounds/end")).status).toBe(204);
    expect((await http.get("/rounds/current")).body).toEqual({ round: null });
    expect((await http.get("/yard")).body.yard.pausedUntilMs).toBeNull();
  });

  test("rounds that are over are listed with what was gathered on the way", async () => {
    await http.post("/gatherings", { bucketId: "gate", volumeL: 1, atMs: startMs - 1 });
    await http.post("/rounds");
    http.rig.clock.advance(60_000);
    await http.post("/gatherings", { bucketId: "gate", volumeL: 4 });
    http.rig.clock.advance(60_000);
    await http.post("/rounds/end");
    const ended = { startedMs: startMs, endedMs: startMs + 120_000, plannedMinutes: 12 };
    const [walked, ...more] = (await http.get("/rounds")).body;
    expect(walked).toMatchObject({ ...ended, gatheredL: 4, gatheredBuckets: 1 });
    expect(more).toEqual([]);
    // One that nobody ended is kept without an end when the next begins.
    await http.post("/rounds");
    http.rig.clock.advance(5 * 3_600_000);
    await http.post("/rounds");
    const all = (await http.get("/rounds")).body;
    expect(all.map(({ endedMs }: { endedMs: number }) => endedMs)).toEqual([
      startMs + 120_000,
      null,
    ]);
  });

  test("a round that nobody ended is over after four hours", async () => {
    await http.post("/rounds");
    http.rig.clock.advance(4 * 3_600_000 + 1);
    expect((await http.get("/rounds/current")).body).toEqual({ round: null });
  });
});

describe("the sketch", () => {
  const places = [
    { place: "home", xM: 0, yM: 0 },
    { place: "tree/gate", xM: 3, yM: 4 },
  ];

  test("keeps places and paced distances either way round, and takes them off again", async () => {
    const bare = { places: [], paced: [], laidOut: [], carryKg: 16 };
    expect((await http.get("/sketch")).body).toEqual(bare);
    const paced = [{ fromPlace: "tree/gate", toPlace: "home", distanceM: 12 }];
    const set = await http.patch("/sketch", { places, paced, carryKg: 20 });
    expect(set.body).toEqual({
      places,
      paced: [{ fromPlace: "home", toPlace: "tree/gate", distanceM: 12 }],
      laidOut: [],
      carryKg: 20,
    });
    const gone = await http.patch("/sketch", {
      places: [{ place: "home", xM: null, yM: null }],
      paced: [{ fromPlace: "home", toPlace: "tree/gate", distanceM: null }],
    });
    expect(gone.body).toMatchObject({ places: [places[1]], paced: [] });
  });

  test("knows which places were only laid out in rows, until each is moved", async () => {
    const laid = await http.patch("/sketch", { places, laidOut: true });
    expect(laid.body.laidOut).toEqual(["home", "tree/gate"]);
    const moved = await http.patch("/sketch", { places: [{ place: "home", xM: 1, yM: 0 }] });
    expect(moved.body.laidOut).toEqual(["tree/gate"]);
    const scale = { fromPlace: "home", toPlace: "tree/gate", distanceM: 50 };
    expect((await http.patch("/sketch", { scale })).body.laidOut).toEqual([]);
  });

  test("is drawn to scale by one distance", async () => {
    const scale = { fromPlace: "home", toPlace: "tree/gate", distanceM: 50 };
    const drawn = await http.patch("/sketch", { places, scale });
    expect(drawn.body.places).toContainEqual({ place: "tree/gate", xM: 30, yM: 40 });
  });

  test.each([
    [{ scale: { fromPlace: "home", toPlace: "tree/x", distanceM: 5 } }, 409, "two places apart"],
    [{ paced: [{ fromPlace: "home", toPlace: "home", distanceM: 5 }] }, 409, "another place"],
    [{ places: [{ place: "shed", xM: 0, yM: 0 }] }, 422, "places.0.place requires the form"],
    [{ carryKg: 300 }, 422, "carryKg requires at most 200, got 300"],
  ])("refuses %j", async (body, status, text) => {
    const answer = await http.patch("/sketch", body);
    expect(answer.status).toBe(status);
    expect(answer.body.detail).toContain(text);
    expect((await http.get("/sketch")).body.places).toEqual([]);
  });
});

describe("ice thrown out", () => {
  // One kilogram of ice from 2 Brix sap holds 0.2 x 20 g of sugar: 4.0 g, or 4.5 mL of syrup of 1.3282 kg/L.
  test("is told with the sugar it took along, by the tree's own where it was measured", async () => {
    const ice = await http.post("/ice", { bucketId: "gate", massKg: 1 });
    expect(ice.status).toBe(201);
    expect(ice.body).toEqual({
      id: 1,
      bucketId: "gate",
      atMs: startMs,
      massKg: 1,
      sugarG: 4,
      syrupMl: 4.5,
    });
    await http.post("/trees/gate/sugars", { instrument: "refractometer", readingBrix: 3 });
    expect((await http.get("/ice")).body[0].sugarG).toBe(6);
    expect((await http.del("/ice/1")).status).toBe(204);
    expect((await http.del("/ice/1")).status).toBe(404);
  });

  test.each([
    [{ bucketId: "gate", massKg: 0 }, 422],
    [{ bucketId: "nowhere", massKg: 1 }, 404],
    [{ bucketId: "gate", massKg: 1, atMs: startMs + 1 }, 409],
  ])("refuses %j", async (body, status) => {
    expect((await http.post("/ice", body)).status).toBe(status);
  });
});
