// The boil's log over HTTP: begun, logged, watched, corrected, ended, and what can't have been.
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { sapBoilingTempC } from "../../../shared/syrup/activity.ts";
import { hearPressure, vesselView } from "../../helpers/hand-yard.ts";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

const hourMs = 3_600_000;
let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

describe("the log", () => {
  // Under the standard pressure syrup of 66.9 is ready at 104.17 C.
  const atHour = (hour: number) => startMs - (6 - hour) * hourMs;

  test("a boil is begun, logged and ended, and the next plan has learned from it", async () => {
    await http.patch("/syrup/setup", { panAreaM2: 0.5, law: "vermont" });
    const { body: begun } = await http.post("/boils", { startedMs: atHour(0) });
    expect(begun).toMatchObject({ aimBrix: 66.9, panAreaM2: 0.5, endedMs: null, entries: [] });
    const log = (entry: object) => http.post(`/boils/${begun.id}/entries`, entry);
    await log({ kind: "sap", volumeL: 150, brix: 2, tempC: 4, atMs: atHour(0) });
    await log({ kind: "fuel", amount: 95, atMs: atHour(1) });
    await log({ kind: "pan", tempC: 101.5, atMs: atHour(4) });
    const { body: near } = await log({ kind: "pan", tempC: 103, atMs: atHour(4.5) });
    // That was an hour and a half ago: it is long due.
    expect(near.watch).toMatchObject({ state: "watch", minutesLeft: 0 });
    await log({ kind: "drawn", volumeL: 3.4, brix: 66.9, atMs: atHour(5) });
    const { body: ended } = await http.patch(`/boils/${begun.id}`, { endedMs: atHour(5) });
    expect(ended).toMatchObject({ watch: null, account: { hours: 5, leftKg: 0 } });
    const rate = ended.account.evaporationMmPerH;
    const { body: plan } = await http.post("/syrup/plan", { sap: { volumeL: 150 } });
    expect(plan.hours.evaporationMmPerH.boils).toBe(1);
    expect(Math.abs(plan.hours.evaporationMmPerH.middle / rate - 1)).toBeLessThan(0.1);
    expect(plan.fuel.efficiency.boils).toBe(1);
  });

  test("a board's probe in the pan tells how near it is, without anybody logging", async () => {
    hearPressure(http, 101_325);
    const { body: boil } = await http.post("/boils", { startedMs: startMs - 2 * hourMs });
    const key = http.rig.boards.probeKey({ board: "hill", name: "pan", atMs: startMs });
    for (let minute = 0; minute <= 60; minute += 1) {
      const atMs = startMs - (60 - minute) * 60_000;
      // 12 kg at 30 Brix that lose 0.1 kg a minute; 66 Brix are reached after 65.5 minutes.
      const brix = 360 / (12 - 0.1 * minute);
      const tempC = sapBoilingTempC({ brix, pressurePa: 101_325 });
      http.rig.readings.insertTemperature({ probeKey: key, atMs, tempC });
    }
    const watchOf = async () => (await http.get("/boils")).body[0].watch;
    const near = await watchOf();
    expect(near.state).toBe("watch");
    expect(Math.abs(near.minutesLeft - 5.5)).toBeLessThan(1.5);
    http.rig.clock.advance(11 * 60_000);
    expect(await watchOf()).toBeNull();
    await http.post(`/boils/${boil.id}/entries`, { kind: "pan", tempC: 102 });
    expect((await watchOf()).tempC).toBe(102);
  });

  test("sap out of a vessel is poured out of it, and put back when the line is taken out", async () => {
    await http.post("/vessels", { label: "Barrel", capacityL: 100 });
    await http.post("/vessels/barrel/pours", { kind: "in", volumeL: 60, atMs: startMs - hourMs });
    const { body: boil } = await http.post("/boils", {});
    const sap = { kind: "sap", volumeL: 40, vesselId: "barrel" };
    const { body: logged } = await http.post(`/boils/${boil.id}/entries`, sap);
    const [line] = logged.entries;
    const pourOf = () => http.parts.pours.get(line.pourId);
    expect(pourOf()).toMatchObject({
      kind: "boil",
      vesselId: "barrel",
      volumeL: 40,
      struck: false,
    });
    await http.patch(`/boil-entries/${line.id}`, { volumeL: 45 });
    expect(pourOf()).toMatchObject({ volumeL: 45, struck: false });
    await http.del(`/boil-entries/${line.id}`);
    expect(pourOf().struck).toBe(true);
    const { body: again } = await http.post(`/boils/${boil.id}/entries`, sap);
    await http.del(`/boils/${boil.id}`);
    expect(http.parts.pours.get(again.entries[0].pourId).struck).toBe(true);
    const { body: other } = await http.post("/boils", {});
    const unknown = { ...sap, vesselId: "tub" };
    expect((await http.post(`/boils/${other.id}/entries`, unknown)).status).toBe(404);
    const pours = http.parts.pours.list().length;
    const nothing = { kind: "sap", vesselId: "barrel" };
    expect((await http.post(`/boils/${other.id}/entries`, nothing)).status).toBe(409);
    expect(http.parts.pours.list()).toHaveLength(pours);
  });

  test("entries are corrected and deleted, in the order of their times", async () => {
    const { body: boil } = await http.post("/boils", {});
    await http.post(`/boils/${boil.id}/entries`, { kind: "pan", tempC: 102 });
    const early = { kind: "sap", volumeL: 20, atMs: atHour(2) };
    const { body } = await http.post(`/boils/${boil.id}/entries`, early);
    const [first, second] = body.entries;
    expect([first.kind, second.kind]).toEqual(["sap", "pan"]);
    const changed = await http.patch(`/boil-entries/${first.id}`, { volumeL: 22 });
    expect(changed.body.account.sapVolumeL).toBe(22);
    expect((await http.del(`/boil-entries/${second.id}`)).status).toBe(204);
    expect((await http.get("/boils")).body[0].entries).toHaveLength(1);
    expect((await http.del(`/boils/${boil.id}`)).status).toBe(204);
    expect((await http.patch(`/boil-entries/${first.id}`, { volumeL: 1 })).status).toBe(404);
  });

  test("what can't have been is refused, and nothing of it stays", async () => {
    const { body: boil } = await http.post("/boils", {});
    const later = { startedMs: startMs + hourMs };
    expect((await http.post("/boils", later)).status).toBe(422);
    const log = async (entry: object) =>
      (await http.post(`/boils/${boil.id}/entries`, entry)).status;
    expect(await log({ kind: "sap" })).toBe(409);
    expect(await log({ kind: "pan", tempC: 300 })).toBe(422);
    expect(await log({ kind: "pan", tempC: 100, atMs: startMs + 1 })).toBe(422);
    expect(await log({ kind: "steam", volumeL: 1 })).toBe(422);
    expect((await http.post("/boils/99/entries", { kind: "fuel", amount: 1 })).status).toBe(404);
    expect((await http.patch(`/boils/${boil.id}`, { endedMs: startMs - hourMs })).status).toBe(409);
    expect((await http.patch(`/boils/${boil.id}`, { endedMs: startMs + hourMs })).status).toBe(422);
    expect((await http.get("/boils")).body[0].entries).toEqual([]);
  });

  test("sugar out of nothing is refused, when it is logged and when it is corrected", async () => {
    const { body: boil } = await http.post("/boils", {});
    const log = (entry: object) => http.post(`/boils/${boil.id}/entries`, entry);
    await log({ kind: "sap", volumeL: 9, brix: 2 });
    const refused = await log({ kind: "drawn", volumeL: 5, brix: 66 });
    expect(refused.status).toBe(422);
    expect(refused.body.detail).toMatch(
      /4\.3\d kg \(9\.\d\d lb\) of sugar.*at most 0\.\d\d kg.*log the sap/,
    );
    const { body } = await log({ kind: "drawn", volumeL: 0.2, brix: 66 });
    const [, drawn] = body.entries;
    expect((await http.patch(`/boil-entries/${drawn.id}`, { volumeL: 5 })).status).toBe(422);
    expect((await http.patch(`/boil-entries/${drawn.id}`, { volumeL: 0.25 })).status).toBe(200);
  });

  test("no more is taken out of a vessel than it can hold by its book", async () => {
    await http.post("/vessels", { label: "Barrel", capacityL: 100 });
    http.view.vessels.push(vesselView("barrel", 40));
    const { body: boil } = await http.post("/boils", {});
    const sap = { kind: "sap", vesselId: "barrel" };
    const refused = await http.post(`/boils/${boil.id}/entries`, { ...sap, volumeL: 60 });
    expect(refused.status).toBe(422);
    expect(refused.body.detail).toMatch(/holds 40\.0 L \(10\.6 gal\) by its book/);
    const away = { kind: "away", volumeL: 60 };
    expect((await http.post("/vessels/barrel/pours", away)).status).toBe(422);
    expect(http.parts.pours.list()).toEqual([]);
    // A pail that nobody wrote down is well within it.
    const entry = { ...sap, volumeL: 50 };
    expect((await http.post(`/boils/${boil.id}/entries`, entry)).status).toBe(201);
  });
});
