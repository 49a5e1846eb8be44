// Records over HTTP: yard, trees, taps, buckets, gatherings, alarms; happy paths and every refusal.
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import {
  alarmViewSchema,
  curveSchema,
  problemSchema,
  yardViewSchema,
} from "../../../shared/wire/api.ts";
import {
  bucketSchema,
  gatheringSchema,
  tapSchema,
  treeSchema,
} from "../../../shared/wire/records.ts";
import { bucketView, type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { packText, startMs } from "../../helpers/store-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

const pail = { label: "Gate", cell: "hill/cell-1", capacityL: 15, emptyKg: 0.9 };

describe("the yard", () => {
  test("is told whole", async () => {
    http.view.buckets.push(bucketView("gate"));
    const { status, body, headers } = await http.get("/yard");
    expect(status).toBe(200);
    expect(yardViewSchema.parse(body)).toEqual(body);
    expect(body.buckets).toEqual([bucketView("gate")]);
    expect(headers.get("cache-control")).toBe("no-store");
  });

  test("keeps what is set and leaves the rest", async () => {
    const { status, body } = await http.patch("/yard", { name: " North yard ", units: "us" });
    expect(status).toBe(200);
    expect(body.yard).toMatchObject({ name: "North yard", units: "us", warnProbability: 0.15 });
    expect(http.parts.settings.yard().name).toBe("North yard");
    expect(http.calls).toEqual([["recordsChanged", undefined]]);
    expect((await http.patch("/yard", { visitTimes: ["07:00", "18:30"] })).status).toBe(200);
    expect((await http.get("/yard")).body.yard).toMatchObject({
      name: "North yard",
      visitTimes: ["07:00", "18:30"],
    });
  });

  test.each([
    [{ latitude: 91 }, "latitude requires at most 90, got 91"],
    [{ name: "" }, 'name requires at least 1 characters, got ""'],
    [{ quietFrom: "25:00" }, "quietFrom requires the form"],
    [{ units: "furlongs" }, "units requires one of metric, us"],
    [{ colour: "red" }, "body requires known fields only, got colour"],
    [{ wakeMe: "yes" }, 'wakeMe requires a value of type boolean, got "yes"'],
    [{ timeZone: "Moon/Base" }, "timeZone requires the name of a time zone"],
    [[], "body requires a value of type object, got []"],
  ])("refuses %j and says why", async (body, text) => {
    const answer = await http.patch("/yard", body);
    expect(answer.status).toBe(422);
    expect(problemSchema.parse(answer.body).detail).toContain(text);
    expect(answer.body.errors).toHaveLength(1);
    expect(answer.headers.get("content-type")).toBe("application/problem+json; charset=utf-8");
    expect(http.calls).toEqual([]);
  });
});

describe("trees and taps", () => {
  test("are added, changed, listed and deleted", async () => {
    const tree = await http.post("/trees", { label: "Gate", girthCm: 140 });
    expect(tree.status).toBe(201);
    expect(treeSchema.parse(tree.body)).toEqual({
      id: "gate",
      label: "Gate",
      species: null,
      girthCm: 140,
      note: null,
      health: "sound",
    });
    expect((await http.patch("/trees/gate", { note: "leans" })).body.note).toBe("leans");
    const tap = await http.post("/taps", { treeId: "gate", tappedMs: startMs });
    expect(tapSchema.parse(tap.body)).toMatchObject({ id: "gate-1", label: "Gate 1" });
    expect((await http.patch("/taps/gate-1", { pulledMs: startMs + 1 })).body.pulledMs).toBe(
      startMs + 1,
    );
    expect((await http.patch("/trees/gate", { health: "slow" })).body.health).toBe("slow");
    expect((await http.patch("/trees/gate", { health: "well" })).status).toBe(422);
    const place = {
      aroundCm: 70,
      heightCm: 102.5,
      bitMm: 7.9,
      depthMm: 38,
      slopeDegrees: 7,
      woodTempC: 2.5,
    };
    expect((await http.patch("/taps/gate-1", place)).body).toMatchObject(place);
    expect((await http.patch("/taps/gate-1", { heightCm: null })).body.heightCm).toBeNull();
    expect((await http.patch("/taps/gate-1", { aroundCm: -1 })).status).toBe(422);
    expect((await http.get("/trees")).body).toHaveLength(1);
    expect((await http.get("/taps")).body).toHaveLength(1);
    expect((await http.del("/trees/gate")).status).toBe(409);
    expect((await http.del("/taps/gate-1")).status).toBe(204);
    expect((await http.del("/trees/gate")).status).toBe(204);
    expect((await http.get("/trees")).body).toEqual([]);
  });

  test("an old hole is added with when it was drilled and pulled, never the other way round", async () => {
    await http.post("/trees", { label: "Old Gate" });
    const [tappedMs, pulledMs] = [startMs - 9e9, startMs - 5e9];
    const hole = { treeId: "old-gate", tappedMs, pulledMs, aroundCm: 12, heightCm: 90 };
    expect((await http.post("/taps", hole)).body).toMatchObject(hole);
    const turned = { ...hole, tappedMs: pulledMs, pulledMs: tappedMs };
    expect((await http.post("/taps", turned)).body.detail).toMatch(
      /pulledMs requires a time after/,
    );
  });

  test("that aren't there are a 404, a tap without its tree a 409", async () => {
    for (const path of ["/trees/nowhere", "/taps/nowhere", "/buckets/nowhere"]) {
      expect((await http.patch(path, { label: "x" })).status).toBe(404);
      expect((await http.del(path)).status).toBe(404);
    }
    expect((await http.post("/taps", { treeId: "nowhere" })).body).toEqual({
      type: "about:blank",
      title: "Conflict",
      status: 409,
      detail: "treeId requires a tree that exists, got nowhere",
    });
    expect((await http.post("/trees", {})).status).toBe(422);
  });

  test("are compared over the season unless a span is given", async () => {
    expect((await http.get("/trees/compare")).body).toEqual({
      fromMs: startMs - 1000,
      toMs: startMs,
      trees: [],
    });
    const given = await http.get("/trees/compare?fromMs=5&toMs=9");
    expect(given.body).toMatchObject({ fromMs: 5, toMs: 9 });
    expect((await http.get("/trees/compare?fromMs=9&toMs=5")).status).toBe(422);
    http.view.season = { year: 2026, firstReadingMs: null };
    expect((await http.get("/trees/compare")).body.fromMs).toBe(startMs);
  });
});

describe("buckets", () => {
  test("are set up on a cell and their past is gone through from its first reading", async () => {
    await http.rig.intake.accept({
      board: "hill",
      payload: packText({ batch: 1 }),
      source: "test",
    });
    http.rig.clock.advance(60_000);
    const { status, body } = await http.post("/buckets", pail);
    expect(status).toBe(201);
    expect(bucketSchema.parse(body)).toEqual({
      ...pail,
      id: "gate",
      sunShare: 0.5,
      tapIds: [],
      role: "sap",
      parked: false,
    });
    expect(http.calls).toEqual([["recordsChanged", { bucketId: "gate", fromMs: startMs }]]);
  });

  test("change from now on; label and parking touch no past", async () => {
    await http.post("/buckets", pail);
    http.rig.clock.advance(60_000);
    http.calls.length = 0;
    expect((await http.patch("/buckets/gate", { parked: true, label: "Lane" })).body).toMatchObject(
      {
        id: "gate",
        label: "Lane",
        parked: true,
      },
    );
    expect((await http.patch("/buckets/gate", { emptyKg: 1.2 })).body.emptyKg).toBe(1.2);
    expect(http.calls).toEqual([
      ["recordsChanged", undefined],
      ["recordsChanged", { bucketId: "gate", fromMs: startMs + 60_000 }],
    ]);
  });

  test("a taken cell is a 409 that names the bucket", async () => {
    await http.post("/buckets", pail);
    const { status, body } = await http.post("/buckets", { ...pail, label: "Lane" });
    expect([status, body.detail]).toEqual([
      409,
      'cell requires one without a bucket, got hill/cell-1, which carries "Gate" (gate)',
    ]);
    expect((await http.post("/buckets", { ...pail, cell: "no such form" })).status).toBe(422);
  });

  test("without a past can go, with one they are parked", async () => {
    await http.post("/buckets", pail);
    await http.post("/gatherings", { bucketId: "gate", volumeL: 3 });
    const refused = await http.del("/buckets/gate");
    expect([refused.status, refused.body.detail]).toEqual([
      409,
      "deleting bucket gate requires one without a past; park it instead",
    ]);
    await http.post("/buckets", { ...pail, label: "Lane", cell: null });
    expect((await http.del("/buckets/lane")).status).toBe(204);
    expect((await http.get("/buckets")).body).toHaveLength(1);
  });

  test("have a curve over a span", async () => {
    await http.post("/buckets", pail);
    const { body } = await http.get("/buckets/gate/curve?fromMs=1000&toMs=2000&stepMs=60000");
    expect(curveSchema.parse(body)).toEqual(body);
    expect(body.massKg).toEqual([null, 1.5]);
    expect(http.calls.at(-1)).toEqual([
      "curve",
      "gate",
      { fromMs: 1000, toMs: 2000, stepMs: 60000 },
    ]);
  });

  test.each([
    ["nowhere/curve?fromMs=1&toMs=2", 404],
    ["gate/curve", 422],
    ["gate/curve?fromMs=abc&toMs=2", 422],
    ["gate/curve?fromMs=3&toMs=2", 422],
    ["gate/curve?fromMs=1&toMs=2&stepMs=1", 422],
    ["gate/curve?fromMs=1&toMs=2&from=3", 422],
  ])("refuse the curve %s with %i", async (path, status) => {
    await http.post("/buckets", pail);
    expect((await http.get(`/buckets/${path}`)).status).toBe(status);
  });
});

describe("gatherings", () => {
  beforeEach(() => http.post("/buckets", pail));

  test("are logged by hand, corrected, struck and deleted", async () => {
    const { status, body } = await http.post("/gatherings", { bucketId: "gate", volumeL: 6.25 });
    expect(status).toBe(201);
    expect(gatheringSchema.parse(body)).toEqual({
      id: 1,
      bucketId: "gate",
      atMs: startMs,
      volumeL: 6.25,
      by: "hand",
      struck: false,
      note: null,
    });
    expect((await http.patch("/gatherings/1", { struck: true })).body.struck).toBe(true);
    expect((await http.patch("/gatherings/1", { volumeL: 6, note: "x" })).body).toMatchObject({
      struck: true,
      volumeL: 6,
      note: "x",
    });
    expect((await http.get("/gatherings")).body).toHaveLength(1);
    expect((await http.get(`/gatherings?toMs=${startMs}`)).body).toEqual([]);
    expect((await http.del("/gatherings/1")).status).toBe(204);
    expect((await http.get("/gatherings")).body).toEqual([]);
  });

  test("that make no sense are refused", async () => {
    const statusOf = async (body: unknown) => (await http.post("/gatherings", body)).status;
    expect(await statusOf({ bucketId: "nowhere", volumeL: 1 })).toBe(404);
    expect(await statusOf({ bucketId: "gate", volumeL: -1 })).toBe(422);
    expect(await statusOf({ bucketId: "gate", volumeL: 1, atMs: startMs + 1 })).toBe(409);
    expect((await http.patch("/gatherings/7", { struck: true })).status).toBe(404);
    expect((await http.patch("/gatherings/x", { struck: true })).status).toBe(404);
    expect((await http.del("/gatherings/7")).status).toBe(404);
    http.parts.gatherings.putDetected("gate", { atMs: startMs, volumeL: 4 });
    expect((await http.del("/gatherings/1")).status).toBe(409);
  });
});

describe("alarms", () => {
  test("are listed, seen once and paused", async () => {
    const raised = { kind: "brim", subject: "gate", severity: "soon", text: "fills" } as const;
    const id = http.parts.alarms.insert({ ...raised, raisedAtMs: startMs, noticed: { n: 1 } });
    http.rig.clock.advance(5000);
    const seen = await http.post(`/alarms/${id}/seen`);
    expect(alarmViewSchema.strict().parse(seen.body)).toEqual({
      ...raised,
      id,
      raisedAtMs: startMs,
      clearedAtMs: null,
      seenAtMs: startMs + 5000,
    });
    expect((await http.get("/alarms")).body).toEqual([seen.body]);
    expect((await http.get(`/alarms?toMs=${startMs}`)).body).toEqual([]);
    expect((await http.post("/alarms/99/seen")).status).toBe(404);
    expect((await http.post("/alarms/x/seen")).status).toBe(404);
    const paused = await http.post("/alarms/pause", { minutes: 30 });
    expect(paused.body).toEqual({ pausedUntilMs: startMs + 5000 + 1_800_000 });
    expect((await http.get("/yard")).body.yard.pausedUntilMs).toBe(startMs + 1_805_000);
    expect((await http.post("/alarms/pause", { minutes: 0 })).body).toEqual({
      pausedUntilMs: null,
    });
    expect((await http.post("/alarms/pause", { minutes: 1e4 })).status).toBe(422);
  });
});
