// What is taken elsewhere: exports, figures for machines, the page.
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, describe, expect, test } from "vitest";
import { csvLine } from "../../../server/http/csv.ts";
import { formatMetrics } from "../../../server/http/metrics.ts";
import {
  bucketView,
  type HttpRig,
  type HttpRigOptions,
  openHttpRig,
} from "../../helpers/http-rig.ts";
import { packText, startMs } from "../../helpers/store-rig.ts";

let http: HttpRig;
afterEach(() => http.close());

async function open(options?: HttpRigOptions) {
  http = await openHttpRig(options);
}

describe("exports", () => {
  test("give every reading, more than one page of them, in order", async () => {
    await open();
    const count = 4500;
    for (let batch = 0; batch < count / 1500; batch += 1) {
      const massesKg = Array.from({ length: 1500 }, (_, index) => index / 1000);
      const atMs = startMs - 86_400_000 + batch * 1_500_000;
      await http.rig.intake.accept({
        board: "hill",
        source: "test",
        payload: packText({ batch: batch + 1, massesKg, atMs }),
      });
    }
    const response = await http.send("GET", "/api/v1/export/readings.csv");
    expect(response.headers.get("content-type")).toBe("text/csv; charset=utf-8");
    expect(response.headers.get("content-disposition")).toBe("attachment; filename=readings.csv");
    const lines = (await response.text()).split("\r\n");
    expect(lines).toHaveLength(count + 2);
    expect(lines.slice(0, 3)).toEqual([
      "time,board,cell,mass_kg,spread_kg,counts",
      "2026-03-13T15:00:00.000Z,hill,cell-1,0.0000,,",
      "2026-03-13T15:00:01.000Z,hill,cell-1,0.0010,,",
    ]);
    expect(lines.at(-1)).toBe("");
    const times = lines.slice(1, -1).map((line) => line.split(",")[0]);
    expect(times).toEqual([...times].sort());
    const fromMs = startMs - 86_400_000;
    const some = await http.send(
      "GET",
      `/api/v1/export/readings.csv?fromMs=${fromMs}&toMs=${fromMs + 2000}`,
    );
    expect((await some.text()).trim().split("\r\n")).toHaveLength(3);
    expect((await http.get("/export/readings.csv?fromMs=9&toMs=1")).status).toBe(422);
  });

  test("give flow and gatherings, and nothing that a spreadsheet would run", async () => {
    await open();
    http.parts.buckets.insert(
      { label: "Gate", tapIds: [], cell: null, capacityL: 15, emptyKg: 1, role: "sap" },
      startMs,
    );
    const slot = http.rig.sqlite.prepare(
      "INSERT INTO ten_minute VALUES ('gate', ?, 12345, 678, 400, 350, 450, ?, 0)",
    );
    slot.run(startMs - 600_000, -125);
    slot.run(startMs, null);
    http.parts.gatherings.insert({
      bucketId: "gate",
      atMs: startMs,
      volumeL: 6.5,
      note: '=1+1 "so", they say',
    });
    const textOf = async (name: string) =>
      (await http.send("GET", `/api/v1/export/${name}.csv`)).text();
    expect(await textOf("flow")).toBe(
      "time,bucket,sap_kg,came_kg,flow_kg_per_h,low_kg_per_h,high_kg_per_h,air_c\r\n" +
        "2026-03-14T14:50:00.000Z,gate,1.2345,0.0678,0.400,0.350,0.450,-1.25\r\n" +
        "2026-03-14T15:00:00.000Z,gate,1.2345,0.0678,0.400,0.350,0.450,\r\n",
    );
    expect(await textOf("buckets")).toBe(
      "bucket,label,role,cell,from,until,capacity_l,empty_kg,sun_share\r\n" +
        "gate,Gate,sap,,2026-03-14T15:00:00.000Z,,15,1.000,0.5\r\n",
    );
    http.rig.boards.heard("hill", startMs);
    const probeKey = http.rig.boards.probeKey({ board: "hill", name: "air", atMs: startMs });
    http.rig.readings.insertTemperature({ probeKey, atMs: startMs, tempC: -1.25 });
    expect(await textOf("temperatures")).toBe(
      "time,board,probe,temp_c\r\n2026-03-14T15:00:00.000Z,hill,air,-1.25\r\n",
    );
    expect(await textOf("gatherings")).toBe(
      "time,bucket,volume_l,by,struck,note\r\n" +
        `2026-03-14T15:00:00.000Z,gate,6.500,hand,no,"'=1+1 ""so"", they say"\r\n`,
    );
  });

  test("give vessels, pours, sugars, ice and washings as they were written down", async () => {
    await open();
    await http.post("/trees", { label: "Gate" });
    await http.post("/buckets", {
      label: "Gate",
      cell: null,
      tapIds: [],
      capacityL: 15,
      emptyKg: 1,
    });
    await http.post("/vessels", { label: "Blue barrel", capacityL: 120 });
    await http.post("/vessels/blue-barrel/pours", {
      kind: "in",
      volumeL: 5.5,
      note: "neighbour's",
    });
    await http.post("/vessels/blue-barrel/pours", { kind: "away" });
    await http.post("/vessels/blue-barrel/notes", { kind: "temperature", tempC: 3.25 });
    await http.post("/trees/gate/sugars", { instrument: "refractometer", readingBrix: 2.1 });
    await http.post("/ice", { bucketId: "gate", massKg: 1.25 });
    await http.post("/buckets/gate/washed", {});
    const now = new Date(startMs).toISOString();
    const rowsOf = async (name: string) => {
      const text = await (await http.send("GET", `/api/v1/export/${name}.csv`)).text();
      return text.trimEnd().split("\r\n").slice(1);
    };
    expect(await rowsOf("vessels")).toEqual([`blue-barrel,Blue barrel,${now},120,shade,`]);
    expect(await rowsOf("pours")).toEqual([
      `${now},blue-barrel,in,,5.5,no,neighbour's`,
      `${now},blue-barrel,away,,all,no,`,
    ]);
    expect(await rowsOf("vessel-notes")).toEqual([`${now},blue-barrel,temperature,3.25`]);
    expect(await rowsOf("sugars")).toEqual([`${now},gate,refractometer,2.1,,,2.1`]);
    expect(await rowsOf("ice")).toEqual([`${now},gate,1.25`]);
    expect(await rowsOf("washings")).toEqual([`${now},gate`]);
    const before = await http.send("GET", `/api/v1/export/ice.csv?toMs=${startMs}`);
    expect((await before.text()).trim()).toBe("time,bucket,mass_kg");
  });

  test("write fields as RFC 4180 section 2 says", async () => {
    await open();
    expect(csvLine([3.0168000000000004, 48.41395731352627, 1_772_712_000_123, -0.1])).toBe(
      "3.0168,48.4139573,1772712000123,-0.1\r\n",
    );
    expect(csvLine(["a,b", 'say "x"', "two\r\nlines", "", null, -1.5, "-1.5"])).toBe(
      '"a,b","say ""x""","two\r\nlines",,,-1.5,-1.5\r\n',
    );
  });
});

describe("figures and the page", () => {
  test("metrics tell what came, what was refused and what runs", async () => {
    await open();
    http.view.buckets.push(bucketView("gate"), bucketView("lane", { flowLPerH: null }));
    await http.post("/readings", packText({ batch: 1, massesKg: [7, 8] }));
    await http.post("/readings", '[{"bn":"hill/","n":"cell-1/mass","u":"lb","v":1}]');
    const response = await http.send("GET", "/metrics");
    expect(response.headers.get("content-type")).toBe("text/plain; version=0.0.4; charset=utf-8");
    const text = await response.text();
    expect(text).toContain("# TYPE brimful_readings_total counter\nbrimful_readings_total 2\n");
    expect(text).toContain("brimful_packs_total 2\n");
    expect(text).toContain("brimful_refused_records_total 1\n");
    expect(text).toContain('brimful_bucket_volume_litres{bucket="lane"} 7.1\n');
    expect(text).toContain('brimful_bucket_flow_litres_per_hour{bucket="gate"} 0.4\n');
    expect(text).not.toContain('per_hour{bucket="lane"}');
    const readme = readFileSync(new URL("../../../README.md", import.meta.url), "utf8");
    const names = [...text.matchAll(/^# TYPE (\S+)/gm)].map(([, name]) => `\`${name}\``);
    expect(names.length).toBeGreaterThan(8);
    expect(names.filter((name) => !readme.includes(name))).toEqual([]);
    expect(Number(/process_resident_memory_bytes (\d+)/.exec(text)?.[1])).toBeGreaterThan(1e7);
  });

  test("metrics are for this machine or a session, also behind a proxy on it", async () => {
    await open({ hasPassphrase: true });
    expect((await http.send("GET", "/metrics")).status).toBe(200);
    const forwarded = { "x-forwarded-for": "192.0.2.7" };
    expect((await http.send("GET", "/metrics", { headers: forwarded })).status).toBe(401);
    const headers = { ...forwarded, cookie: `brimful_session=${http.signIn.begin()}` };
    expect((await http.send("GET", "/metrics", { headers })).status).toBe(200);
  });

  test("labels are escaped and a metric without a sample is left out", async () => {
    await open();
    expect(
      formatMetrics([
        { name: "a", help: "A.", type: "gauge", samples: [{ labels: { x: 'q"\\\n' }, value: 1 }] },
        { name: "b", help: "B.", type: "gauge", samples: [] },
      ]),
    ).toBe('# HELP a A.\n# TYPE a gauge\na{x="q\\"\\\\\\n"} 1\n');
  });

  test("liveness needs nothing", async () => {
    await open({ hasPassphrase: true });
    expect(await (await http.send("GET", "/healthz")).json()).toEqual({ ok: true });
  });

  test("the built page is asked for anew, its hashed files are kept for a year", async () => {
    const webFolder = mkdtempSync(join(tmpdir(), "brimful-web-"));
    mkdirSync(join(webFolder, "assets"));
    writeFileSync(join(webFolder, "index.html"), "<p>the yard</p>");
    writeFileSync(join(webFolder, "assets", "main-ab12.js"), "1");
    writeFileSync(join(webFolder, ".hidden"), "secret");
    await open({ webFolder, hasPassphrase: true });
    const page = await http.send("GET", "/");
    expect([page.status, await page.text()]).toEqual([200, "<p>the yard</p>"]);
    expect(page.headers.get("cache-control")).toBe("no-cache");
    const asset = await http.send("GET", "/assets/main-ab12.js");
    expect(asset.headers.get("cache-control")).toBe("public, max-age=31536000, immutable");
    for (const path of ["/.hidden", "/assets/other.js", "/..%2f..%2fetc%2fpasswd", "/assets"]) {
      expect([path, (await http.send("GET", path)).status]).toEqual([path, 404]);
    }
    rmSync(webFolder, { recursive: true });
  });

  test("a page that isn't built says how to build it", async () => {
    await open();
    const response = await http.send("GET", "/");
    expect(response.status).toBe(503);
    expect(await response.text()).toContain("npm run build");
  });
});
