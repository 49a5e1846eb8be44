// Tests how backups are named and which of them stay.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  backupName,
  backupTimeMs,
  outlivedBackups,
  outlivedSetAside,
} from "../../../../server/domain/care/backup-names.ts";
import { msPerDay } from "../../../../shared/units.ts";

const nowMs = Date.UTC(2026, 2, 14, 15);
const daily = (days: number) =>
  Array.from({ length: days }, (_, day) => backupName(nowMs - day * msPerDay));

it("a backup's name tells its time to the second", () => {
  expect(backupName(nowMs + 999)).toBe("brimful-2026-03-14T15-00-00Z.db");
  expect(backupTimeMs("brimful-2026-03-14T15-00-00Z.db")).toBe(nowMs);
});

it("what is named otherwise is no backup and never goes", () => {
  const others = [
    "notes.txt",
    "brimful.db",
    "brimful-2020-01-01T00-00-00Z.db.part",
    "brimful-2020-13-41T00-00-00Z.db",
    "x-brimful-2020-01-01T00-00-00Z.db",
  ];
  for (const name of others) expect(backupTimeMs(name), name).toBeUndefined();
  expect(outlivedBackups([...others, ...daily(3)], nowMs)).toEqual([]);
});

it("keeps every backup of seven days, then the newest of each week, then none after a year", () => {
  const names = daily(800);
  const gone = new Set(outlivedBackups(names, nowMs));
  const kept = names.filter((name) => !gone.has(name));
  expect(kept.slice(0, 8)).toEqual(daily(8));
  const weekly = kept.slice(8).map((name) => backupTimeMs(name)!);
  // 2026-03-14 is a Saturday: the newest of a week before is its Sunday.
  for (const atMs of weekly) expect(new Date(atMs).getUTCDay()).toBe(0);
  expect(weekly.length).toBe(52);
  expect(nowMs - weekly.at(-1)!).toBeLessThanOrEqual(371 * msPerDay);
});

it("the newest stays however old it is, and thinning twice takes no more", () => {
  expect(outlivedBackups([backupName(0)], nowMs)).toEqual([]);
  const times = fc.array(fc.integer({ min: 0, max: 1000 * 24 }), { minLength: 1, maxLength: 60 });
  fc.assert(
    fc.property(times, (hours) => {
      const names = [...new Set(hours.map((hour) => backupName(nowMs - hour * 3_600_000)))];
      const gone = new Set(outlivedBackups(names, nowMs));
      const kept = names.filter((name) => !gone.has(name));
      expect(kept).toContain(names.toSorted().at(-1));
      expect(outlivedBackups(kept, nowMs)).toEqual([]);
    }),
  );
});

it("a store set aside by an upgrade or a restore stays half a year, and nothing else beside it goes", () => {
  const aside = [
    "brimful.db.before-3",
    "brimful.db.replaced-2025-03-14T15-00-00Z",
    "brimful.db.replaced-2025-03-14T15-00-00Z-wal",
  ];
  const others = ["brimful.db", "brimful.db-wal", "brimful.lock", "brimful.running", "notes.txt"];
  const aged = (days: number) =>
    [...aside, ...others].map((name) => ({ name, writtenMs: nowMs - days * msPerDay }));
  expect(outlivedSetAside(aged(179), nowMs)).toEqual([]);
  expect(outlivedSetAside(aged(181), nowMs)).toEqual(aside);
});
