// Vessels over HTTP: records, pours and notes, and every refusal.
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { pourSchema, type VesselView, vesselSchema } from "../../../shared/wire/vessels.ts";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

const barrel = { label: "Barrel", capacityL: 120 };

describe("vessels", () => {
  test("the first one is the one being filled, another one when a person says so", async () => {
    const first = await http.post("/vessels", barrel);
    expect(first.status).toBe(201);
    expect(vesselSchema.parse(first.body)).toEqual({
      id: "barrel",
      label: "Barrel",
      capacityL: 120,
      place: "shade",
      probe: null,
      parked: false,
      filling: true,
    });
    const second = await http.post("/vessels", { ...barrel, label: "Can", place: "cooler" });
    expect(second.body).toMatchObject({ id: "can", filling: false, place: "cooler" });
    expect((await http.patch("/vessels/can", { filling: true })).body.filling).toBe(true);
    expect(
      (await http.get("/vessels")).body.map((one: { filling: boolean }) => one.filling),
    ).toEqual([false, true]);
    expect((await http.patch("/vessels/can", { parked: true })).body).toMatchObject({
      parked: true,
      filling: false,
    });
    expect(http.calls.filter(([name]) => name === "vesselsChanged")).toHaveLength(4);
  });

  test("how one stood before a change stays as it was", async () => {
    await http.post("/vessels", { ...barrel, fromMs: startMs - 5000 });
    await http.patch("/vessels/barrel", { place: "sun", capacityL: 100 });
    expect(http.parts.vessels.listStandings()).toEqual([
      { vesselId: "barrel", fromMs: startMs - 5000, capacityL: 120, place: "shade", probe: null },
      { vesselId: "barrel", fromMs: startMs, capacityL: 100, place: "sun", probe: null },
    ]);
  });

  test.each([
    [{ ...barrel, capacityL: 0.1 }, "capacityL requires at least 1, got 0.1"],
    [{ ...barrel, place: "roof" }, "place requires one of shade, sun, cooler"],
    [{ ...barrel, probe: "nothing" }, "probe requires the form"],
    [{ ...barrel, colour: "blue" }, "body requires known fields only, got colour"],
  ])("refuses %j", async (body, text) => {
    const answer = await http.post("/vessels", body);
    expect(answer.status).toBe(422);
    expect(answer.body.detail).toContain(text);
  });

  test("one that isn't there is a 404, a future one a 409, a used one is not deleted", async () => {
    for (const path of ["/vessels/x", "/vessels/x/pours", "/vessels/x/notes"]) {
      const body = path.endsWith("notes") ? { kind: "washed" } : { kind: "boil" };
      const answer = path.endsWith("/x") ? await http.del(path) : await http.post(path, body);
      expect(answer.status).toBe(404);
    }
    expect((await http.post("/vessels", { ...barrel, fromMs: startMs + 1 })).status).toBe(409);
    await http.post("/vessels", barrel);
    await http.post("/vessels", { ...barrel, label: "Can" });
    await http.post("/vessels/barrel/pours", { kind: "in", volumeL: 3 });
    expect((await http.del("/vessels/barrel")).status).toBe(409);
    expect((await http.del("/vessels/can")).status).toBe(204);
  });
});

describe("pours", () => {
  beforeEach(async () => {
    await http.post("/vessels", barrel);
    await http.post("/vessels", { ...barrel, label: "Can" });
  });

  test("are written down, corrected and struck", async () => {
    const pour = await http.post("/vessels/barrel/pours", {
      kind: "over",
      intoVesselId: "can",
      volumeL: 12.5,
    });
    expect(pour.status).toBe(201);
    expect(pourSchema.parse(pour.body)).toMatchObject({ atMs: startMs, volumeL: 12.5 });
    const corrected = await http.patch("/pours/1", { volumeL: null, atMs: startMs - 10 });
    expect(corrected.body).toMatchObject({ volumeL: null, atMs: startMs - 10, struck: false });
    expect((await http.patch("/pours/1", { struck: true })).body.struck).toBe(true);
    expect((await http.get("/vessels/barrel/pours")).status).toBe(200);
    expect((await http.patch("/pours/9", { struck: true })).status).toBe(404);
  });

  test.each([
    [{ kind: "over" }, "intoVesselId requires another vessel, got null"],
    [{ kind: "over", intoVesselId: "barrel" }, "intoVesselId requires another vessel, got barrel"],
    [{ kind: "boil", intoVesselId: "can" }, "intoVesselId requires none for kind boil, got can"],
    [{ kind: "in" }, "requires its volumeL, got null"],
    [{ kind: "boil", atMs: startMs + 1 }, "atMs requires a time up to now"],
  ])("refuses %j", async (body, text) => {
    const answer = await http.post("/vessels/barrel/pours", body);
    expect(answer.status).toBe(409);
    expect(answer.body.detail).toContain(text);
    expect(http.parts.pours.list()).toEqual([]);
  });

  test("more than a vessel can ever hold is refused, a book that says it is full refuses nothing", async () => {
    http.view.vessels.push({ ...http.parts.vessels.get("barrel"), volumeL: 170 } as VesselView);
    const refused = await http.post("/vessels/can/pours", { kind: "in", volumeL: 151 });
    expect(refused.status).toBe(422);
    expect(refused.body.detail).toBe(
      "Can holds 120.0 L (31.7 gal): 151.0 L (39.9 gal) can’t have gone into it",
    );
    const over = { kind: "over", intoVesselId: "can" };
    expect((await http.post("/vessels/barrel/pours", over)).body.detail).toContain("170.0 L");
    expect(http.parts.pours.list()).toEqual([]);
    for (let count = 1; count <= 2; count += 1) {
      expect((await http.post("/vessels/can/pours", { kind: "in", volumeL: 100 })).status).toBe(
        201,
      );
    }
  });

  test("sap from elsewhere can't become all there was", async () => {
    await http.post("/vessels/barrel/pours", { kind: "in", volumeL: 3 });
    expect((await http.patch("/pours/1", { volumeL: null })).status).toBe(409);
  });
});

test("washings and temperatures are noted, a gathering is said to have gone elsewhere", async () => {
  await http.post("/vessels", barrel);
  expect((await http.post("/vessels/barrel/notes", { kind: "washed" })).status).toBe(204);
  const warm = { kind: "temperature", tempC: 6.25, atMs: startMs - 5 };
  expect((await http.post("/vessels/barrel/notes", warm)).status).toBe(204);
  expect(http.parts.vessels.listNotes()).toEqual([
    { vesselId: "barrel", atMs: startMs - 5, kind: "temperature", tempC: 6.25 },
    { vesselId: "barrel", atMs: startMs, kind: "washed", tempC: null },
  ]);
  const refused = await http.post("/vessels/barrel/notes", { kind: "temperature" });
  expect(refused.body.detail).toBe("tempC requires a temperature, got null");
  expect((await http.post("/vessels/barrel/notes", { kind: "washed", tempC: 3 })).status).toBe(409);
  await http.post("/buckets", { label: "Gate", capacityL: 15, emptyKg: 0.9 });
  await http.post("/gatherings", { bucketId: "gate", volumeL: 3 });
  expect((await http.post("/gatherings/1/vessel", { vesselId: null })).status).toBe(204);
  expect((await http.post("/gatherings/1/vessel", { vesselId: "x" })).status).toBe(404);
  expect((await http.post("/gatherings/7/vessel", { vesselId: null })).status).toBe(404);
  expect(http.parts.vessels.listGatheringVessels()).toEqual([
    { bucketId: "gate", atMs: startMs, vesselId: null },
  ]);
});
