// A season's end over HTTP: jobs that stay ticked, a report of what was logged, records that stay when it is closed.
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

const hourMs = 3_600_000;
let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

/** 9.7 L on a day of March in a year, twice that on the next. */
function runSap(year: number) {
  const day = http.rig.sqlite.prepare(
    "INSERT INTO day VALUES ('gate', ?, ?, 4000, NULL, 86400000, 0, 0)",
  );
  day.run(`${year}-03-12`, 97_767);
  day.run(`${year}-03-13`, 2 * 97_767);
}

async function hangGate() {
  await http.post("/trees", { label: "Gate" });
  await http.post("/taps", { treeId: "gate", tappedMs: startMs - 20 * 24 * hourMs });
  const fromMs = startMs - 400 * 24 * hourMs;
  http.parts.buckets.insert(
    {
      label: "Gate",
      tapIds: ["gate-1"],
      cell: null,
      capacityL: 15,
      emptyKg: 1,
      role: "sap",
      fromMs,
    },
    startMs,
  );
}

test("the present season is there from the start, with every closing job to do", async () => {
  const { body } = await http.get("/seasons");
  expect(body).toHaveLength(1);
  expect(body[0]).toMatchObject({ year: 2026, closedMs: null, note: null });
  expect(body[0].fromMs).toBe(Date.UTC(2026, 0, 1));
  expect(body[0].untilMs).toBe(Date.UTC(2027, 0, 1));
  expect(body[0].jobs.map(({ key }: { key: string }) => key)).toContain("wash");
  expect(body[0].jobs.every(({ doneMs }: { doneMs: unknown }) => doneMs === null)).toBe(true);
});

test("a year whose readings came late is a season too", async () => {
  await hangGate();
  runSap(2024);
  const { body } = await http.get("/seasons");
  expect(body.map(({ year }: { year: number }) => year)).toEqual([2024, 2025, 2026]);
});

test("a job that is ticked stays ticked, with its day, until it is unticked", async () => {
  await http.patch("/seasons/2026", { jobs: { pull: true } });
  http.rig.clock.advance(hourMs);
  await http.patch("/seasons/2026", { jobs: { pull: true, wash: true }, note: "rest the leaner" });
  const { body } = await http.get("/seasons");
  const doneOf = (key: string) =>
    body[0].jobs.find((job: { key: string }) => job.key === key).doneMs;
  expect([doneOf("pull"), doneOf("wash"), doneOf("dry")]).toEqual([
    startMs,
    startMs + hourMs,
    null,
  ]);
  expect(body[0].note).toBe("rest the leaner");
  const untick = await http.patch("/seasons/2026", { jobs: { pull: false } });
  expect(untick.body.jobs[0]).toEqual({ key: "pull", doneMs: null });
  const unknown = await http.patch("/seasons/2026", { jobs: { sing: true } });
  expect([unknown.status, unknown.body.detail]).toEqual([422, expect.stringContaining("got sing")]);
});

describe("a closed season", () => {
  test("keeps its records readable and as they are, and opens again", async () => {
    const { body: boil } = await http.post("/boils", {});
    const entry = { kind: "sap", volumeL: 20 };
    const { body: logged } = await http.post(`/boils/${boil.id}/entries`, entry);
    const closed = await http.patch("/seasons/2026", { closed: true });
    expect(closed.body.closedMs).toBe(startMs);
    const line = `/boil-entries/${logged.entries[0].id}`;
    for (const change of [
      () => http.patch(line, { volumeL: 1 }),
      () => http.patch("/seasons/2026", { jobs: { pull: true } }),
      () => http.patch("/seasons/2026", { note: "x" }),
    ]) {
      const { status, body } = await change();
      expect(status).toBe(409);
      expect(body.detail).toBe("2026 is closed: open it again under Season first");
    }
    const report = await http.get("/seasons/2026/report");
    expect([report.status, report.body.boils.length]).toEqual([200, 1]);
    expect((await http.get("/boils")).body[0].entries).toHaveLength(1);
    const again = await http.patch("/seasons/2026", { closed: false, note: "opened" });
    expect(again.body).toMatchObject({ closedMs: null, note: "opened" });
    expect((await http.patch(line, { volumeL: 25 })).status).toBe(200);
  });

  test("leaves other seasons alone, and what cells see goes on", async () => {
    await http.patch("/seasons/2025", { closed: true });
    expect((await http.post("/boils", {})).status).toBe(201);
    const lastYearMs = startMs - 365 * 24 * hourMs;
    expect((await http.post("/boils", { startedMs: lastYearMs })).status).toBe(409);
    await hangGate();
    await http.patch("/seasons/2026", { closed: true });
    http.parts.gatherings.putDetected("gate", { atMs: startMs, volumeL: 5 });
    expect((await http.get("/gatherings")).body).toHaveLength(1);
  });

  test("what is no year is not found", async () => {
    expect((await http.get("/seasons/spring/report")).status).toBe(404);
    expect((await http.patch("/seasons/12", { closed: true })).status).toBe(404);
  });
});

test("the report tells sap by day and tap, the boils, bottles and last year beside them", async () => {
  await hangGate();
  runSap(2026);
  runSap(2025);
  const { body: boil } = await http.post("/boils", { startedMs: startMs - 5 * hourMs });
  const log = (entry: object) => http.post(`/boils/${boil.id}/entries`, entry);
  await log({ kind: "sap", volumeL: 100, brix: 2 });
  await log({ kind: "fuel", amount: 60 });
  await log({ kind: "drawn", volumeL: 2.2, brix: 66.9 });
  await http.patch(`/boils/${boil.id}`, { endedMs: startMs });
  await http.post("/batches", { volumeL: 1.5, transmissionPercent: 80 });
  await http.post("/batches", { volumeL: 0.5 });
  const raise = (kind: "brim" | "brimful", agoMs: number) =>
    http.parts.alarms.insert({
      kind,
      subject: "gate",
      severity: "soon",
      text: "x",
      raisedAtMs: startMs - agoMs,
      noticed: {},
    });
  http.parts.alarms.clear(raise("brim", 9 * hourMs), startMs - 7 * hourMs);
  http.parts.alarms.clear(raise("brimful", 6 * hourMs), startMs - 5 * hourMs);
  const { body } = await http.get("/seasons/2026/report");
  // 97,767 dg are 9.7 L of sap of 1.0079 kg/L.
  expect(body.totals.sapVolumeL).toBeCloseTo(29.1, 2);
  expect(body.totals).toMatchObject({ daysRun: 2, boils: 1, boilHours: 5, woodKg: 60, batches: 2 });
  expect(body.totals.boiledVolumeL).toBe(100);
  expect(body.totals.bottledVolumeL).toBe(2);
  expect(body.totals.sapPerSyrup).toBeCloseTo(100 / 2.2, 9);
  expect(body.lastYear.sapVolumeL).toBeCloseTo(29.1, 2);
  expect(body.bestDays[0]).toMatchObject({ day: "2026-03-13" });
  expect(body.days).toHaveLength(2);
  expect(body.days[0].lastYearVolumeL).toBeCloseTo(9.7, 2);
  expect(body.taps).toMatchObject([{ tapId: "gate-1", treeId: "gate", daysRun: 2 }]);
  expect(body.taps[0].volumeL).toBeCloseTo(29.1, 2);
  expect(body.colours).toEqual([
    { colour: "golden", volumeL: 1.5 },
    { colour: "not read", volumeL: 0.5 },
  ]);
  expect(body.warnings).toMatchObject({ brimful: 1, warned: 1, medianLeadH: 3 });
  expect([body.totals.taps, body.lastYear.taps]).toEqual([1, 0]);
  const { body: before } = await http.get("/seasons/2024/report");
  expect([before.lastYear, before.totals.sapVolumeL, before.days]).toEqual([null, 0, []]);
});

test("every table of people's records is given out, with its header also when it is empty", async () => {
  const textOf = async (name: string) =>
    (await http.send("GET", `/api/v1/export/${name}.csv`)).text();
  expect(await textOf("trees")).toBe("tree,label,species,girth_cm,health,note\r\n");
  expect(await textOf("seasons")).toBe("year,closed,note,jobs_done\r\n");
  await hangGate();
  runSap(2026);
  const { body: boil } = await http.post("/boils", { startedMs: startMs - 5 * hourMs });
  await http.post(`/boils/${boil.id}/entries`, { kind: "sap", volumeL: 100, brix: 2 });
  await http.post("/batches", {
    volumeL: 1.5,
    bottles: [{ volumeL: 0.25, count: 6 }],
    words: "=1",
  });
  await http.patch("/seasons/2026", { jobs: { pull: true, wash: true } });
  expect(await textOf("trees")).toContain("gate,Gate,,,sound,\r\n");
  expect(await textOf("taps")).toContain("gate-1,gate,Gate 1,2026-02-22T15:00:00.000Z,,,,,,,\r\n");
  expect(await textOf("hangings")).toContain("gate,gate-1,");
  expect(await textOf("days")).toContain("2026-03-12,gate,9.7767,4,,24,no\r\n");
  expect(await textOf("boils")).toContain("1,2026-03-14T10:00:00.000Z,,66,,100,0,");
  expect(await textOf("boil-entries")).toContain("1,2026-03-14T15:00:00.000Z,sap,100,2,,,,,\r\n");
  expect(await textOf("batches")).toContain("2026-1,2026-03-14T15:00:00.000Z,,1.5,,,,6 x 0.25 L,");
  expect(await textOf("batches")).toContain(",'=1,");
  expect(await textOf("seasons")).toContain("2026,,,pull wash\r\n");
});
