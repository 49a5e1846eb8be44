// Figures and times for people: both systems of units, and days told as people tell them.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  formatAge,
  formatClock,
  formatDeadline,
  formatFlow,
  formatIn,
  formatLastingDeadline,
  formatList,
  formatMass,
  formatTemp,
  formatTimeOfDay,
  formatVolume,
} from "../../../shared/people/format.ts";

const timeZone = "America/Toronto";
const at = (local: string) => Date.parse(`2026-03-${local}:00-04:00`);
// A Saturday.
const time = { nowMs: at("14T12:00"), timeZone };
const minuteMs = 60_000;
const hourMs = 3_600_000;

describe("figures", () => {
  it("are metric", () => {
    expect(formatVolume(5.26, "metric")).toBe("5.3 L");
    expect(formatFlow(0.238, "metric")).toBe("0.24 L/h");
    expect(formatTemp(-1.25, "metric")).toBe("-1.3 °C");
    expect(formatMass(7.312, "metric")).toBe("7.3 kg");
  });

  it("are US, with more of a gallon while there is little", () => {
    // NIST SP 811: a US gallon is 3.785411784 L, a pound 0.45359237 kg.
    expect(formatVolume(3.785411784, "us")).toBe("1.00 gal");
    expect(formatVolume(37.85411784, "us")).toBe("10.0 gal");
    expect(formatFlow(0.3785411784, "us")).toBe("0.10 gal/h");
    expect(formatTemp(0, "us")).toBe("32 °F");
    expect(formatTemp(-40, "us")).toBe("-40 °F");
    expect(formatMass(0.45359237, "us")).toBe("1.0 lb");
  });

  it("never show a negative zero", () => {
    expect(formatVolume(-0.01, "metric")).toBe("0.0 L");
    expect(formatTemp(-0.04, "metric")).toBe("0.0 °C");
    expect(formatFlow(-0.001, "us")).toBe("0.00 gal/h");
  });
});

describe("times", () => {
  it("are told by the local clock", () => {
    expect(formatClock(at("14T08:05"), timeZone)).toBe("8:05");
    expect(formatClock(at("14T00:00"), timeZone)).toBe("0:00");
  });

  it("name the day as people do", () => {
    expect(formatTimeOfDay(at("14T15:40"), time)).toBe("today 15:40");
    expect(formatTimeOfDay(at("15T08:00"), time)).toBe("tomorrow 8:00");
    expect(formatTimeOfDay(at("13T23:59"), time)).toBe("yesterday 23:59");
    expect(formatTimeOfDay(at("19T14:20"), time)).toBe("Thu 14:20");
    expect(formatTimeOfDay(at("20T14:20"), time)).toBe("Fri 14:20");
    expect(formatTimeOfDay(at("21T14:20"), time)).toBe("21 Mar 14:20");
    expect(formatTimeOfDay(at("09T14:20"), time)).toBe("Mon 14:20");
  });

  it("count days by the calendar where one has 23 hours", () => {
    const nowMs = Date.parse("2026-03-07T23:30:00-05:00");
    const nextMs = Date.parse("2026-03-08T23:30:00-04:00");
    expect(formatTimeOfDay(nextMs, { nowMs, timeZone })).toBe("tomorrow 23:30");
  });

  it("are rounded down where something must be done by then", () => {
    expect(formatDeadline(at("14T15:44"), time)).toBe("15:30");
    expect(formatDeadline(at("15T08:50"), time)).toBe("tomorrow 8:00");
    expect(formatDeadline(at("19T12:30"), time)).toBe("Thursday noon");
    expect(formatDeadline(at("30T09:10"), time)).toBe("30 Mar 9:00");
  });

  it("that fall on the end of a day are the end of that day", () => {
    expect(formatDeadline(at("15T00:20"), time)).toBe("midnight");
    expect(formatDeadline(at("16T00:00"), time)).toBe("the end of tomorrow");
    expect(formatDeadline(at("19T00:59"), time)).toBe("the end of Wednesday");
  });

  it("that are read on other days too name the weekday, of a midnight the day that it ends", () => {
    expect(formatLastingDeadline(at("14T15:44"), time)).toBe("15:30");
    expect(formatLastingDeadline(at("15T08:50"), time)).toBe("Sunday 8:00");
    expect(formatLastingDeadline(at("15T00:20"), time)).toBe("midnight");
    expect(formatLastingDeadline(at("16T00:00"), time)).toBe("the end of Sunday");
    expect(formatLastingDeadline(at("19T12:30"), time)).toBe("Thursday noon");
  });

  it("are never rounded into the past", () => {
    expect(formatDeadline(at("14T12:09"), time)).toBe("12:09");
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 240 }), (minutes) => {
        const nowMs = at("14T12:07");
        const clock = formatDeadline(nowMs + minutes * minuteMs, { nowMs, timeZone });
        const [hour = 0, minute = 0] = clock.split(":").map(Number);
        expect(hour * 60 + minute).toBeGreaterThan(12 * 60 + 7);
        expect(hour * 60 + minute).toBeLessThanOrEqual(12 * 60 + 7 + minutes);
      }),
    );
  });

  it("say how long it is from now and how old it is", () => {
    expect(formatIn(20_000)).toBe("now");
    expect(formatIn(-hourMs)).toBe("now");
    expect(formatIn(25 * minuteMs)).toBe("in 25 min");
    expect(formatIn(89 * minuteMs)).toBe("in 89 min");
    expect(formatIn(3 * hourMs)).toBe("in 3 h");
    expect(formatIn(50 * hourMs)).toBe("in 2 days");
    expect(formatAge(20_000)).toBe("just now");
    expect(formatAge(4 * minuteMs)).toBe("4 min ago");
  });
});

describe("lists", () => {
  it("join names with commas and one and", () => {
    expect(formatList([])).toBe("");
    expect(formatList(["Gate"])).toBe("Gate");
    expect(formatList(["Gate", "Well"])).toBe("Gate and Well");
    expect(formatList(["Gate", "Well", "Spring"])).toBe("Gate, Well and Spring");
  });
});
