// Tests the words about the server itself.
import { expect, it } from "vitest";
import {
  backupWords,
  boardWords,
  certificateWords,
  clockSpan,
  clockWords,
  diskWords,
  formatBytes,
} from "../../../shared/people/care.ts";

it("sizes are short and never read 1000", () => {
  const sizes = [0, 999, 1000, 9949, 9950, 999_499, 999_500, 35e6, 1.44e9, 5e15];
  expect(sizes.map(formatBytes)).toEqual(
    ["0 bytes", "999 bytes", "1.0 kB", "9.9 kB", "10 kB", "999 kB", "1.0 MB", "35 MB"].concat([
      "1.4 GB",
      "5000 TB",
    ]),
  );
});

it("what can't be told is said, and is no zero", () => {
  expect(diskWords({ freeBytes: null, storeBytes: null })).toBe("room not known");
  expect(diskWords({ freeBytes: 2e9, storeBytes: 1e6 })).toBe(
    "2.0 GB free, the database takes 1.0 MB",
  );
  expect(clockWords(null)).toBe("clock not known yet");
});

it("how far a clock is off is told in round figures", () => {
  const minutes = [0.6, 2.2, 4, 7, 14, 29, 32, 48, 55, 70, 17 * 60, 24 * 60 - 3, 3 * 24 * 60];
  expect(minutes.map((count) => clockSpan(-count * 60_000))).toEqual(
    ["1 min", "2 min", "5 min", "5 min", "10 min", "30 min", "30 min", "45 min", "1 h"]
      .concat(["1 h", "17 h", "24 h", "3 days"])
      .map((span) => `about ${span}`),
  );
});

it("tells the newest backup, how many there are, and why the last try failed", () => {
  const none = { folder: "/b", count: 0, lastAtMs: null, lastBytes: null, problem: null };
  const nowMs = 9e12;
  const words = (over: object) =>
    backupWords({ nowMs, backups: { ...none, daily: true, ...over } });
  expect(words({})).toBe("None was made yet.");
  expect(words({ count: 8, lastAtMs: nowMs - 7_200_000, lastBytes: 35e6 })).toBe(
    "The newest was made 2 h ago, 35 MB. 8 are kept.",
  );
  expect(words({ problem: "no room" })).toBe("None was made yet. The last try failed: no room.");
});

it("a clock agrees within half a minute, else it is ahead or behind", () => {
  expect(clockWords(-29_000)).toBe("clock agrees");
  expect(clockWords(300_000)).toBe("clock about 5 min ahead");
  expect(clockWords(-7_200_000)).toBe("clock about 2 h behind");
});

it("says how long the certificate is good, or that there is none", () => {
  const day = 86_400_000;
  const words = (certificateUntilMs: number | null) =>
    certificateWords({ certificateUntilMs, nowMs: 9e12 });
  expect(words(null)).toBe("none: nothing is encrypted on its way");
  expect(words(9e12 + 812.5 * day)).toBe("good for 812 days");
  expect(words(9e12 + 1.5 * day)).toBe("good for 1 day");
  expect(words(9e12 - 1)).toBe("has ended");
});

it.each([
  [{ online: true, lastHeardMs: null }, "is there"],
  [{ online: false, lastHeardMs: 99 * 60_000 }, "sends readings, now and then"],
  [{ online: false, lastHeardMs: 89 * 60_000 }, "is away"],
  [{ online: false, lastHeardMs: null }, "is away"],
])("a board that holds no link but is heard is not away: %j", (board, words) => {
  expect(boardWords(board, 100 * 60_000)).toBe(words);
});
