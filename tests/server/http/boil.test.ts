// The boil over HTTP: plan, thermometer, log, batches, with what the yard knows and what is refused.
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { hearPressure, vesselView } from "../../helpers/hand-yard.ts";
import { bucketView, type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

const hourMs = 3_600_000;
let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

describe("the plan", () => {
  test("takes the sap that is in the buckets, their deadline, and the usual sugar", async () => {
    const keeping = { sapTempC: 8, iceFraction: 0, spentFraction: 0.4, risk: "fresh" as const };
    http.view.buckets.push(
      bucketView("gate", { volumeL: 30, keeping: { ...keeping, boilByMs: startMs + 9 * hourMs } }),
      bucketView("well", { volumeL: 10, keeping: { ...keeping, sapTempC: 4, boilByMs: null } }),
      bucketView("spare", { volumeL: 5, state: "parked" }),
      bucketView("rain", { volumeL: 5, role: "control" }),
    );
    const { status, body } = await http.post("/syrup/plan", {});
    expect(status).toBe(200);
    expect(body.sap).toMatchObject({ volumeL: 40, brix: 2, brixFrom: "usual", tempC: 7 });
    expect(body.sap.places.map(({ id }: { id: string }) => id)).toEqual(["gate", "well"]);
    expect(body.syrup.syrupKg + body.syrup.waterKg).toBeCloseTo(body.sap.massKg, 9);
    expect(body.hours).toBeNull();
    await http.patch("/syrup/setup", { panAreaM2: 0.5 });
    const planned = (await http.post("/syrup/plan", {})).body;
    expect(planned.hours.evaporationMmPerH).toMatchObject({ boils: 0, usual: 40.7 });
    expect(planned.start).toMatchObject({ boilByMs: startMs + 9 * hourMs });
  });

  test("takes the sap of vessels too, the one to be boiled first before the others", async () => {
    http.view.vessels.push(
      vesselView("tub", 50),
      { ...vesselView("barrel", 50), useFirst: true },
      { ...vesselView("old", 50), parked: true },
    );
    const { body } = await http.post("/syrup/plan", {});
    expect(body.sap).toMatchObject({ volumeL: 100, tempC: 6 });
    expect(body.sap.places.map(({ id }: { id: string }) => id)).toEqual(["barrel", "tub"]);
  });

  test("what is typed goes before what the yard knows", async () => {
    const sap = { volumeL: 162.8, brix: 2.5, tempC: 3 };
    const typed = { sap, aimBrix: 66, pressurePa: 100_000, panAreaM2: 1, doneByMs: null };
    const { body } = await http.post("/syrup/plan", typed);
    expect(body.sap).toMatchObject({ ...sap, volumeFrom: "typed", brixFrom: "typed" });
    expect(body.pressure).toMatchObject({ pressurePa: 100_000, from: "typed" });
    expect(body.start).toBeNull();
    // 34.64 volumes to 66.0 (masses over ICUMSA densities at 20 C); the rule of 86 gives 34.4.
    expect(body.syrup.sapPerSyrup).toBeCloseTo(34.64, 2);
    expect(body.syrup.rules[0]).toMatchObject({ factor: 86, sapPerSyrup: 34.4 });
  });

  test("pressure comes from a board's barometer if heard lately, else from report and altitude", async () => {
    const pressureOf = async (body = {}) => (await http.post("/syrup/plan", body)).body.pressure;
    expect(await pressureOf()).toMatchObject({ from: "standard", pressurePa: 101_325 });
    await http.patch("/yard", { altitudeM: 500 });
    const altitude = await pressureOf();
    expect(altitude.from).toBe("altitude");
    // U.S. Standard Atmosphere 1976: 954.61 hPa at 500 m.
    expect(Math.abs(altitude.pressurePa - 95_461)).toBeLessThan(20);
    await http.patch("/syrup/setup", { seaLevelPa: 100_000 });
    const report = await pressureOf();
    expect([report.from, report.pressurePa < altitude.pressurePa]).toEqual(["report", true]);
    hearPressure(http, 95_000, 3 * hourMs);
    expect((await pressureOf()).from).toBe("report");
    hearPressure(http, 96_000, hourMs);
    expect(await pressureOf()).toMatchObject({ from: "board", board: "hill", pressurePa: 96_000 });
    http.rig.clock.advance(25 * hourMs);
    expect((await pressureOf()).from).toBe("altitude");
  });

  test("a law is chosen for good, and a person's own aim goes before it", async () => {
    await http.patch("/syrup/setup", { law: "vermont" });
    const { body } = await http.post("/syrup/plan", {});
    expect(body.finishing).toMatchObject({ law: "vermont", aimBrix: 66.9, highestBrix: 68.9 });
    await http.patch("/syrup/setup", { aimBrix: 67.2 });
    expect((await http.post("/syrup/plan", {})).body.finishing.aimBrix).toBe(67.2);
    const other = (await http.post("/syrup/plan", { law: "maine", aimBrix: 68 })).body.finishing;
    expect(other).toMatchObject({ law: "maine", aimBrix: 68, highestBrix: 69 });
  });

  test.each([
    [{ sap: { volumeL: -1 } }, "sap.volumeL requires at least 0, got -1"],
    [{ sap: { brix: 90 } }, "sap.brix requires at most 40, got 90"],
    [{ pressurePa: 1013 }, "pressurePa requires at least 50000, got 1013"],
    [{ aimBrix: 20 }, "aimBrix requires at least 50, got 20"],
    [{ law: "moon" }, "law requires one of usda, canada, new-york, vermont, maine, got"],
    [{ sap: { tempC: 99 }, pressurePa: 60_000 }, "sap to boil requires 0 to"],
  ])("%j is refused with what is wrong", async (body, problem) => {
    const answer = await http.post("/syrup/plan", body);
    expect(answer.status).toBe(422);
    expect(answer.body.detail).toContain(problem);
  });
});

describe("the thermometer", () => {
  test("is zeroed in boiling water for the day, and is old the day after", async () => {
    hearPressure(http, 100_000);
    expect((await http.get("/syrup/thermometer")).body).toEqual({ latest: null });
    const { status, body } = await http.post("/syrup/thermometer", { readingC: 100.1 });
    expect(status).toBe(201);
    // IAPWS-IF97: water boils at 99.606 C under 100 kPa.
    expect(body.latest.offsetC).toBeCloseTo(0.494, 3);
    expect(body.latest.old).toBe(false);
    const plan = (await http.post("/syrup/plan", { law: "vermont" })).body.finishing;
    expect(plan.onThermometerC).toBeCloseTo(plan.finishingTempC + 0.494, 3);
    http.rig.clock.advance(24 * hourMs);
    expect((await http.get("/syrup/thermometer")).body.latest.old).toBe(true);
  });

  test("zeroed before the altitude was set, it goes on telling what it showed in boiling water", async () => {
    const { status } = await http.post("/syrup/thermometer", { readingC: 100 });
    expect(status).toBe(201);
    await http.patch("/yard", { altitudeM: 457.2 });
    const { finishing } = (await http.post("/syrup/plan", {})).body;
    expect(finishing.onThermometerC).toBeCloseTo(100 + finishing.riseC, 6);
    hearPressure(http, 96_000);
    const heard = (await http.post("/syrup/plan", {})).body.finishing;
    expect(heard.onThermometerC).toBeCloseTo(100 + heard.riseC, 6);
  });

  test("the weather since is reckoned with where the pressure is still known by the same", async () => {
    hearPressure(http, 100_000);
    await http.post("/syrup/thermometer", { readingC: 100 });
    http.rig.clock.advance(60_000);
    hearPressure(http, 98_000, -60_000);
    const { finishing } = (await http.post("/syrup/plan", {})).body;
    // IAPWS-IF97: water boils 0.561 C lower under 98 kPa than under 100.
    expect(finishing.onThermometerC).toBeCloseTo(100 - 0.561 + finishing.riseC, 2);
  });

  test("where nobody told the height water may boil far lower", async () => {
    expect((await http.post("/syrup/thermometer", { readingC: 91 })).status).toBe(201);
    const tooHigh = await http.post("/syrup/thermometer", { readingC: 104 });
    expect(tooHigh.status).toBe(422);
    expect(tooHigh.body.detail).toContain("at most 3 C above or 11 C below 99.97 C");
    await http.patch("/yard", { altitudeM: 100 });
    expect((await http.post("/syrup/thermometer", { readingC: 91 })).status).toBe(422);
  });

  test("one that is far off is refused: it needs replacing", async () => {
    hearPressure(http, 100_000);
    const { status, body } = await http.post("/syrup/thermometer", { readingC: 95 });
    expect([status, body.errors[0].field]).toEqual([422, "readingC"]);
    expect(body.detail).toContain("within 3 C of 99.61 C");
  });
});

test("the small sums: a thin batch, a hot hydrometer, the pan's Brix", async () => {
  hearPressure(http, 100_000);
  const batch = { volumeL: 4, brix: 64, aimBrix: 66 };
  const { body: thin } = await http.post("/syrup/adjust", batch);
  expect(thin.batchKg - thin.boilOffKg).toBeCloseTo(thin.resultKg, 9);
  expect(thin.addKg).toBe(0);
  // Marked at 60 F, syrup of 66.9 shows 59.0 at 211 F (ICUMSA densities and glass of 25e-6 per C).
  const hot = { readingBrix: 59, tempC: (211 - 32) / 1.8 };
  expect((await http.post("/syrup/hydrometer", hot)).body.brix).toBeCloseTo(66.9, 1);
  const pan = (await http.post("/syrup/pan", { readingC: 103.8 })).body;
  expect(pan.brix).toBeCloseTo(66.9, 1);
  // 0.1 C is 0.4 Brix.
  expect(pan.spreadBrix).toBeCloseTo(0.43, 1);
  expect((await http.post("/syrup/pan", { readingC: 90 })).body.brix).toBeNull();
});

describe("batches", () => {
  test("are numbered by year and told by their light and filling temperature", async () => {
    const batch = { volumeL: 2.9, brix: 66.9, transmissionPercent: 62, fillTempC: 86 };
    const bottles = [{ volumeL: 0.5, count: 5 }];
    const { body: one } = await http.post("/batches", {
      ...batch,
      bottles,
      words: "from the hill",
    });
    expect(one).toMatchObject({ year: 2026, number: 1, colour: "amber", filling: "right" });
    expect(one).toMatchObject({ bottles, ingredients: "Maple syrup", words: "from the hill" });
    const dark = { volumeL: 1, transmissionPercent: 12, fillTempC: 70 };
    const { body: two } = await http.post("/batches", dark);
    expect(two).toMatchObject({ number: 2, colour: "very dark", filling: "too cold" });
    await http.del(`/batches/${one.id}`);
    expect((await http.post("/batches", { volumeL: 1 })).body.number).toBe(3);
    const patched = await http.patch(`/batches/${two.id}`, { transmissionPercent: 80 });
    expect(patched.body).toMatchObject({ number: 2, colour: "golden" });
    const other = await http.post("/batches", { volumeL: 1, boilId: 7 });
    expect([other.status, other.body.detail]).toEqual([
      409,
      "boilId requires a boil that exists, got 7",
    ]);
  });
});
