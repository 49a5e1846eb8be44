// The weather file: every refusal names line, column, what was expected and what came.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { createFileWeather, parseWeatherCsv } from "../../../device/yard/weather-csv.ts";

const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
const header = "time,air_c,wind_m_s,solar_w_m2,rain_mm,pressure_hpa";
const good = "2026-03-14T06:00:00-05:00,-4.5,1,0,0,990";
const later = "2026-03-14T07:00:00-05:00,-3.5,2,10,0.5,991";

describe("refusals", () => {
  it.each([
    ["", /^line 1 requires the header time,air_c\[.*\], got ""$/],
    ["when,air_c", /^line 1 requires the header .*, got "when,air_c"$/],
    ["time,air_c,air_c", /^line 1 requires the header/],
    ["time,wind_m_s", /^line 1 requires the header/],
    [header, /^the file requires at least two lines of weather, got 0$/],
    [`${header}\n${good}`, /^the file requires at least two lines of weather, got 1$/],
    [`${header}\n${good}\n${later},7`, /^line 3 requires 6 columns, got 7$/],
    [`${header}\n\n${good}\n2026-03-14T07:00:00-05:00,1`, /^line 4 requires 6 columns, got 2$/],
    [
      `${header}\n${good}\n${good}`,
      /^line 3, column time requires a later time than the line before, got/,
    ],
    [
      `time,air_c\n2026-03-14T06:00:00,1`,
      /^line 2, column time requires a time with its offset such as .*, got "2026-03-14T06:00:00"$/,
    ],
    [
      `time,air_c\n2026-02-31T06:00:00Z,1`,
      /^line 2, column time requires .*, got "2026-02-31T06:00:00Z"$/,
    ],
    [`time,air_c\nyesterday,1`, /^line 2, column time requires .*, got "yesterday"$/],
    [
      `time,air_c\n2026-03-14T06:00:00Z,`,
      /^line 2, column air_c requires degrees Celsius between -60 and 60, got ""$/,
    ],
    [`time,air_c\n2026-03-14T06:00:00Z,NaN`, /column air_c requires .*, got "NaN"$/],
    [`time,air_c\n2026-03-14T06:00:00Z,Infinity`, /column air_c requires .*, got "Infinity"$/],
    [`time,air_c\n2026-03-14T06:00:00Z,0x10`, /column air_c requires .*, got "0x10"$/],
    [
      `time,air_c\n2026-03-14T06:00:00Z,61`,
      /^line 2, column air_c requires .* between -60 and 60, got "61"$/,
    ],
    [
      `time,air_c,pressure_hpa\n2026-03-14T06:00:00Z,1,29.9`,
      /column pressure_hpa requires hectopascals between 500 and 1100, got "29.9"$/,
    ],
    [
      `time,air_c,wind_m_s\n2026-03-14T06:00:00Z,1,-1`,
      /column wind_m_s requires metres a second between 0 and 100, got "-1"$/,
    ],
    [
      `time,air_c,rain_mm\n2026-03-14T06:00:00Z,1,x`,
      /column rain_mm requires millimetres between 0 and 300, got "x"$/,
    ],
    [
      `time,air_c,solar_w_m2\n2026-03-14T06:00:00Z,1,5000`,
      /column solar_w_m2 requires watts a square metre/,
    ],
  ])("%j", (text, problem) => {
    const rows = parseWeatherCsv(text);
    expect(rows.ok ? "accepted" : rows.problem).toMatch(problem);
  });

  it("whatever comes, it answers with rows or a problem and never throws", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), fc.boolean(), (text, withHeader) => {
        const rows = parseWeatherCsv(withHeader ? `time,air_c\n${text}` : text);
        expect(rows.ok || rows.problem.length > 0).toBe(true);
      }),
    );
  });
});

function weatherFrom(text: string, startMs: number, wallOffsetMs = 0) {
  const rows = parseWeatherCsv(text);
  if (!rows.ok) throw new Error(rows.problem);
  return createFileWeather({ rows: rows.value, startMs, wallOffsetMs });
}

it("takes a byte order mark, CRLF and blank lines in its stride", () => {
  const rows = parseWeatherCsv(`\uFEFF${header}\r\n${good}\r\n\r\n${later}\r\n`);
  expect(rows.ok && rows.value).toHaveLength(2);
});

it("keeps the hours of the file's own clock, moves its days, and fills in between", () => {
  const startMs = Date.UTC(2026, 10, 3, 15);
  const offsetMs = 2 * hourMs;
  const weather = weatherFrom(`${header}\n${good}\n${later}`, startMs, offsetMs);
  const sixOClockMs = Date.UTC(2026, 10, 3, 6) - offsetMs;
  expect(weather.at(sixOClockMs).airC).toBeCloseTo(-4.5);
  expect(weather.at(sixOClockMs + hourMs / 2)).toMatchObject({
    airC: -4,
    windMS: 1.5,
    solarWM2: 5,
    rainMmPerH: 0.5,
    pressurePa: 99_050,
  });
});

it("repeats its days when they run out", () => {
  const lines = [1, 2, 3].flatMap((day) =>
    Array.from(
      { length: 24 },
      (_, hour) =>
        `2026-03-0${day}T${String(hour).padStart(2, "0")}:00:00Z,${day * 10 + hour / 10}`,
    ),
  );
  const startMs = Date.UTC(2026, 0, 20);
  const weather = weatherFrom(`time,air_c\n${lines.join("\n")}`, startMs);
  const at = (day: number, hour: number) => weather.at(startMs + day * dayMs + hour * hourMs).airC;
  expect([at(0, 5), at(1, 5), at(2, 5), at(3, 5), at(7, 5)]).toEqual([
    10.5, 20.5, 30.5, 10.5, 20.5,
  ]);
  expect(at(-1, 5)).toBe(10.5);
  expect(at(2, 23.5)).toBeCloseTo((32.3 + 10) / 2);
});
