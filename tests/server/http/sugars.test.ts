// Sugar of trees over HTTP: corrected for temperature, kept by tree and time, refused when no sap shows it.
import { afterEach, beforeEach, expect, test } from "vitest";
import { hydrometerReadingBrix } from "../../../shared/syrup/hydrometer.ts";
import { treeSugarSchema } from "../../../shared/wire/rounds.ts";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
  await http.post("/trees", { label: "Gate" });
});
afterEach(() => http.close());

const post = (body: unknown) => http.post("/trees/gate/sugars", body);

test("a hydrometer's reading in cold sap is corrected to what the sap has", async () => {
  const readingBrix = hydrometerReadingBrix({ brix: 2.4, tempC: 3 });
  const answer = await post({ instrument: "hydrometer", readingBrix, tempC: 3 });
  expect(answer.status).toBe(201);
  expect(treeSugarSchema.parse(answer.body)).toMatchObject({
    treeId: "gate",
    atMs: startMs,
    markedAtC: 15.56,
    brix: 2.4,
  });
  expect(http.calls.at(-1)).toEqual(["vesselsChanged"]);
});

// At 30 C and 5 Brix an uncompensated refractometer shows 0.74 too little (International Temperature
// Correction Table 1936, from memory).
test("a refractometer is corrected only when a temperature is given", async () => {
  const compensated = await post({ instrument: "refractometer", readingBrix: 2.2 });
  expect(compensated.body.brix).toBe(2.2);
  const bare = await post({ instrument: "refractometer", readingBrix: 5, tempC: 30 });
  expect(bare.body.brix).toBe(5.74);
  expect((await http.get("/sugars")).body).toHaveLength(2);
  expect((await http.del("/sugars/1")).status).toBe(204);
  expect((await http.del("/sugars/1")).status).toBe(404);
});

test.each([
  [{ instrument: "hydrometer", readingBrix: 2 }, 409, "tempC requires the sap's temperature"],
  [{ instrument: "refractometer", readingBrix: 2, tempC: 3 }, 409, "tempC requires 10 to 30 C"],
  [{ instrument: "hydrometer", readingBrix: 0, tempC: 35 }, 201, ""],
  [
    { instrument: "hydrometer", readingBrix: 0, tempC: 4 },
    409,
    "readingBrix requires what some sap",
  ],
  [{ instrument: "hydrometer", readingBrix: 66, tempC: 4 }, 422, "readingBrix requires at most 30"],
  [{ instrument: "hydrometer", readingBrix: 2, tempC: 4, atMs: startMs + 1 }, 409, "up to now"],
])("%j is answered %i", async (body, status, text) => {
  const answer = await post(body);
  expect(answer.status).toBe(status);
  if (status !== 201) expect(answer.body.detail).toContain(text);
});

test("a tree that isn't there is a 404", async () => {
  const body = { instrument: "refractometer", readingBrix: 2 };
  expect((await http.post("/trees/nowhere/sugars", body)).status).toBe(404);
});
