// When a person can next be at the buckets, and when after that.
import { localParts, msAtLocalTime, startOfLocalDayMs } from "../../../shared/local-time.ts";
import { msPerDay, msPerHour, msPerMinute } from "../../../shared/units.ts";

export type Visits = {
  nextMs: number;
  afterMs: number;
  /** A night lies between the two: what is decided for them covers it. */
  overnight: boolean;
};

export type VisitPlan = {
  nowMs: number;
  timeZone: string;
  /** Local "HH:MM"; null means any full hour from 7 to 21. */
  visitTimes: readonly string[] | null;
  /** Minutes from being told to being at the buckets. */
  tripLeadMin: number;
  /** Local "HH:MM" at which quiet hours begin: the evening comes an hour before at the latest. */
  quietFrom?: string;
};

const anyDaytimeHour = Array.from({ length: 15 }, (_, hour) => `${hour + 7}:00`.padStart(5, "0"));
/** Who can come at any hour still does not come each hour; alarms were best measured so. */
const anyHourApartMs = 4 * msPerHour;
const eveningFromMin = 19 * 60;
const eveningUntilMin = 21 * 60;
const noonMin = 12 * 60;
const firstMorningVisit = "08:00";

/**
 * The next feasible visit is the first one that the trip's lead still reaches. In the evening
 * (from 19 to 21 local, earlier before early quiet hours) a walk before bed counts as one, and the
 * one after is the first next day: 8 h, or the first visit time. Who can come at any hour is taken
 * to come again within four hours.
 */
export function nextVisits(plan: VisitPlan): Visits {
  const { nowMs, timeZone, tripLeadMin } = plan;
  const earliestMs = nowMs + tripLeadMin * msPerMinute;
  const times = [...(plan.visitTimes ?? anyDaytimeHour)].sort();
  const slots = slotsFrom(times, earliestMs, timeZone);
  const today = localParts(nowMs, timeZone).dayKey;
  const dayOf = (atMs: number) => localParts(atMs, timeZone).dayKey;
  const slotToday = slots.find((atMs) => dayOf(atMs) === today);
  if (isEvening(plan) && dayOf(earliestMs) === today) {
    const firstTime = plan.visitTimes === null ? firstMorningVisit : (times[0] ?? "");
    const afterMs = msAtLocalTime(dayAfter(nowMs, timeZone), firstTime, timeZone);
    return { nextMs: slotToday ?? earliestMs, afterMs, overnight: true };
  }
  const [nextMs = earliestMs, secondMs = earliestMs + msPerDay] = slots;
  const afterMs =
    plan.visitTimes === null
      ? (slots.findLast((atMs) => atMs > nextMs && atMs <= nextMs + anyHourApartMs) ?? secondMs)
      : secondMs;
  return { nextMs, afterMs, overnight: dayOf(nextMs) !== dayOf(afterMs) };
}

/** Up to three days of visits in order, none before earliestMs. */
function slotsFrom(times: readonly string[], earliestMs: number, timeZone: string): number[] {
  const first = startOfLocalDayMs(earliestMs, timeZone);
  const second = dayAfter(earliestMs, timeZone);
  const days = [first, second, dayAfter(second, timeZone)];
  const all = days.flatMap((day) => times.map((time) => msAtLocalTime(day, time, timeZone)));
  return [...new Set(all)].filter((atMs) => atMs >= earliestMs).sort((a, b) => a - b);
}

/** The start of the next local day; 36 h on is inside it, be the day 23, 24 or 25 h long. */
function dayAfter(atMs: number, timeZone: string): number {
  const laterMs = startOfLocalDayMs(atMs, timeZone) + 36 * msPerHour;
  return startOfLocalDayMs(laterMs, timeZone);
}

function isEvening({ nowMs, timeZone, quietFrom }: VisitPlan): boolean {
  const { minuteOfDay } = localParts(nowMs, timeZone);
  const quietMin = quietFrom === undefined ? eveningUntilMin : minuteFrom(quietFrom);
  const fromMin = quietMin > noonMin ? Math.min(eveningFromMin, quietMin - 60) : eveningFromMin;
  return minuteOfDay >= fromMin && minuteOfDay < eveningUntilMin;
}

function minuteFrom(time: string): number {
  const [hour = "0", minute = "0"] = time.split(":");
  return Number(hour) * 60 + Number(minute);
}
