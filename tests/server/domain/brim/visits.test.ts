// The next feasible visit and the one after, through day, evening, night and the clock's change.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { nextVisits } from "../../../../server/domain/brim/visits.ts";

const timeZone = "America/Toronto";
const at = (local: string) => Date.parse(`${local}:00-04:00`);
const visits = (local: string, visitTimes: string[] | null = null, tripLeadMin = 60) =>
  nextVisits({ nowMs: at(local), timeZone, visitTimes, tripLeadMin });

describe("visits at any hour of the day", () => {
  it("are the next full hour that the trip's lead still reaches and four hours later", () => {
    expect(visits("2026-03-14T10:20")).toEqual({
      nextMs: at("2026-03-14T12:00"),
      afterMs: at("2026-03-14T16:00"),
      overnight: false,
    });
    expect(visits("2026-03-14T10:00").nextMs).toBe(at("2026-03-14T11:00"));
    expect(visits("2026-03-14T10:20", null, 0).nextMs).toBe(at("2026-03-14T11:00"));
  });

  it("end the day at 21 h", () => {
    expect(visits("2026-03-14T17:30").afterMs).toBe(at("2026-03-14T21:00"));
    expect(visits("2026-03-14T18:00", null, 180)).toEqual({
      nextMs: at("2026-03-14T21:00"),
      afterMs: at("2026-03-15T07:00"),
      overnight: true,
    });
  });

  it("cover the night from 19 h on: the one after is at 8 next morning", () => {
    expect(visits("2026-03-14T18:59").overnight).toBe(false);
    expect(visits("2026-03-14T19:00")).toEqual({
      nextMs: at("2026-03-14T20:00"),
      afterMs: at("2026-03-15T08:00"),
      overnight: true,
    });
  });

  it("count a walk before bed in the evening although no full hour is left", () => {
    const { nextMs, overnight } = visits("2026-03-14T20:30");
    expect(nextMs).toBe(at("2026-03-14T21:30"));
    expect(overnight).toBe(true);
  });

  it("wait for the morning at night", () => {
    expect(visits("2026-03-14T22:00")).toEqual({
      nextMs: at("2026-03-15T07:00"),
      afterMs: at("2026-03-15T11:00"),
      overnight: false,
    });
    expect(visits("2026-03-14T03:00").nextMs).toBe(at("2026-03-14T07:00"));
  });

  it("bring the evening forward for early quiet hours", () => {
    const plan = { nowMs: at("2026-03-14T17:30"), timeZone, visitTimes: null, tripLeadMin: 60 };
    expect(nextVisits({ ...plan, quietFrom: "18:00" }).overnight).toBe(true);
    expect(nextVisits({ ...plan, quietFrom: "21:00" }).overnight).toBe(false);
    expect(nextVisits({ ...plan, quietFrom: "00:30" }).overnight).toBe(false);
  });
});

describe("visits at set times", () => {
  const times = ["18:00", "07:00", "12:30"];

  it("are taken in the day's order", () => {
    const { nextMs, afterMs } = visits("2026-03-14T08:00", times);
    expect([nextMs, afterMs]).toEqual([at("2026-03-14T12:30"), at("2026-03-14T18:00")]);
  });

  it("skip one that can't be reached in time", () => {
    expect(visits("2026-03-14T12:00", times).nextMs).toBe(at("2026-03-14T18:00"));
    expect(visits("2026-03-14T12:00", times, 30).nextMs).toBe(at("2026-03-14T12:30"));
  });

  it("span the night after the last of the day", () => {
    const { afterMs, overnight } = visits("2026-03-14T17:00", times);
    expect(afterMs).toBe(at("2026-03-15T07:00"));
    expect(overnight).toBe(true);
    expect(visits("2026-03-14T19:30", times)).toEqual({
      nextMs: at("2026-03-14T20:30"),
      afterMs: at("2026-03-15T07:00"),
      overnight: true,
    });
  });

  it("come a day apart when there is one", () => {
    const { nextMs, afterMs } = visits("2026-03-14T08:00", ["09:00"]);
    expect([nextMs, afterMs]).toEqual([at("2026-03-14T09:00"), at("2026-03-15T09:00")]);
  });
});

describe("any visits", () => {
  it("keep their local time when the clock goes forward", () => {
    // In 2026 Toronto goes to summer time at 2 h on 8 March.
    const nowMs = Date.parse("2026-03-07T19:30:00-05:00");
    const plan = { nowMs, timeZone, visitTimes: null, tripLeadMin: 60 };
    expect(nextVisits(plan).afterMs).toBe(Date.parse("2026-03-08T08:00:00-04:00"));
  });

  it("never lie before the lead, and the one after is later", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 400 * 1440 }),
        fc.integer({ min: 0, max: 720 }),
        fc.option(
          fc.uniqueArray(fc.constantFrom("00:00", "02:30", "06:45", "13:00", "20:15", "23:59"), {
            minLength: 1,
          }),
        ),
        (minute, tripLeadMin, visitTimes) => {
          const nowMs = Date.parse("2026-01-01T00:00:00Z") + minute * 60_000;
          const { nextMs, afterMs } = nextVisits({ nowMs, timeZone, visitTimes, tripLeadMin });
          expect(nextMs).toBeGreaterThanOrEqual(nowMs + tripLeadMin * 60_000);
          expect(afterMs).toBeGreaterThan(nextMs);
        },
      ),
    );
  });
});
