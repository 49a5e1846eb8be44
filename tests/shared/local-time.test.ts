// Local time against known instants of several zones, and the two nights a year when clocks jump.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  isTimeZone,
  localParts,
  msAtLocalTime,
  startOfLocalDayMs,
} from "../../shared/local-time.ts";

const toronto = "America/Toronto";
const zones = ["UTC", toronto, "Europe/Berlin", "Asia/Kolkata", "Australia/Lord_Howe"];
const ms = (iso: string) => Date.parse(iso);

describe("local parts", () => {
  it("tells the day and time of the zone, not of the machine", () => {
    expect(localParts(ms("2026-03-15T03:07:59Z"), toronto)).toEqual({
      dayKey: "2026-03-14",
      hour: 23,
      minute: 7,
      minuteOfDay: 1387,
    });
    expect(localParts(ms("2026-03-14T20:00:00Z"), "Asia/Kolkata").dayKey).toBe("2026-03-15");
    expect(localParts(ms("2026-03-14T20:00:00Z"), "Asia/Kolkata").minuteOfDay).toBe(90);
  });

  it("jumps from 01:59 to 03:00 in spring and from 01:59 back to 01:00 in autumn", () => {
    // The US and Canadian rule: second Sunday of March, first of November, 02:00.
    expect(localParts(ms("2026-03-08T06:59:59Z"), toronto)).toMatchObject({ hour: 1, minute: 59 });
    expect(localParts(ms("2026-03-08T07:00:00Z"), toronto)).toMatchObject({ hour: 3, minute: 0 });
    expect(localParts(ms("2026-11-01T05:59:59Z"), toronto)).toMatchObject({ hour: 1, minute: 59 });
    expect(localParts(ms("2026-11-01T06:00:00Z"), toronto)).toMatchObject({ hour: 1, minute: 0 });
  });

  it("follows a zone that changes by half an hour", () => {
    // Lord Howe Island: +11 in summer, +10:30 from the first Sunday of April, 02:00.
    expect(localParts(ms("2026-04-04T14:59:00Z"), "Australia/Lord_Howe").minuteOfDay).toBe(119);
    expect(localParts(ms("2026-04-04T15:00:00Z"), "Australia/Lord_Howe").minuteOfDay).toBe(90);
  });
});

describe("instant of a local time", () => {
  it("is found from a day's key or from any instant in the day", () => {
    expect(msAtLocalTime("2026-03-14", "18:30", toronto)).toBe(ms("2026-03-14T22:30:00Z"));
    expect(msAtLocalTime(ms("2026-03-15T03:00:00Z"), "18:30", toronto)).toBe(
      ms("2026-03-14T22:30:00Z"),
    );
    expect(msAtLocalTime("2026-02-14", "18:30", toronto)).toBe(ms("2026-02-14T23:30:00Z"));
  });

  it("is an hour on when the clocks skip it, and the first when they show it twice", () => {
    expect(msAtLocalTime("2026-03-08", "02:30", toronto)).toBe(ms("2026-03-08T07:30:00Z"));
    expect(msAtLocalTime("2026-03-08", "01:30", toronto)).toBe(ms("2026-03-08T06:30:00Z"));
    expect(msAtLocalTime("2026-03-08", "03:00", toronto)).toBe(ms("2026-03-08T07:00:00Z"));
    expect(msAtLocalTime("2026-11-01", "01:30", toronto)).toBe(ms("2026-11-01T05:30:00Z"));
    expect(msAtLocalTime("2026-11-01", "02:00", toronto)).toBe(ms("2026-11-01T07:00:00Z"));
  });

  it("refuses what is no day, no time of day or no zone", () => {
    expect(() => msAtLocalTime("2026-3-14", "18:30", toronto)).toThrow(RangeError);
    expect(() => msAtLocalTime("2026-02-30", "18:30", toronto)).toThrow(RangeError);
    expect(() => msAtLocalTime("2026-13-01", "18:30", toronto)).toThrow(RangeError);
    expect(() => msAtLocalTime("2026-03-14", "25:00", toronto)).toThrow(RangeError);
    expect(() => msAtLocalTime("2026-03-14", "6:30", toronto)).toThrow(RangeError);
    expect(() => msAtLocalTime("2026-03-14", "18:30", "Nowhere/Else")).toThrow(RangeError);
    expect(() => localParts(Number.NaN, toronto)).toThrow(RangeError);
  });

  it("gives back the local time it was asked for unless that was skipped", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: ms("2020-01-01"), max: ms("2037-01-01") }),
        fc.constantFrom(...zones),
        (atMs, timeZone) => {
          const { dayKey, hour, minute } = localParts(atMs, timeZone);
          const text = `${String(hour).padStart(2, "0")}:${String(minute).padStart(2, "0")}`;
          const foundMs = msAtLocalTime(dayKey, text, timeZone);
          expect(localParts(foundMs, timeZone)).toEqual(localParts(atMs, timeZone));
          expect(foundMs).toBeLessThanOrEqual(atMs);
        },
      ),
    );
  });
});

describe("start of the local day", () => {
  it("is midnight, on short and long days too", () => {
    expect(startOfLocalDayMs(ms("2026-03-08T20:00:00Z"), toronto)).toBe(ms("2026-03-08T05:00:00Z"));
    expect(startOfLocalDayMs(ms("2026-03-10T03:59:59Z"), toronto)).toBe(ms("2026-03-09T04:00:00Z"));
    expect(startOfLocalDayMs(ms("2026-11-02T04:59:59Z"), toronto)).toBe(ms("2026-11-01T04:00:00Z"));
  });

  it("is one o'clock where the clocks skip midnight", () => {
    // Sao Paulo, 4 November 2018: 00:00 -03 became 01:00 -02.
    expect(startOfLocalDayMs(ms("2018-11-04T15:00:00Z"), "America/Sao_Paulo")).toBe(
      ms("2018-11-04T03:00:00Z"),
    );
  });

  it("never lies after the instant, nor more than 25 hours before it", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: ms("2020-01-01"), max: ms("2037-01-01") }),
        fc.constantFrom(...zones),
        (atMs, timeZone) => {
          const startMs = startOfLocalDayMs(atMs, timeZone);
          expect(startMs).toBeLessThanOrEqual(atMs);
          expect(atMs - startMs).toBeLessThan(25 * 3_600_000);
          expect(localParts(startMs - 1, timeZone).dayKey).not.toBe(
            localParts(atMs, timeZone).dayKey,
          );
        },
      ),
    );
  });
});

describe("is a time zone", () => {
  it("knows zones and refuses other words", () => {
    expect(zones.every(isTimeZone)).toBe(true);
    expect(["", "Mars/Base", "local", "America"].some(isTimeZone)).toBe(false);
  });

  it("stays right and quick over more quarters of an hour than it keeps", () => {
    const startMs = ms("2026-01-01T00:30:00Z");
    for (let step = 0; step < 45_000; step += 1) {
      localParts(startMs + step * 900_000, toronto);
    }
    expect(localParts(ms("2026-03-08T07:00:00Z"), toronto).hour).toBe(3);
  });
});
