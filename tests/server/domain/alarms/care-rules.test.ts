// Tests when the server asks for care, and that it asks less strictly to go on asking.
import { expect, it } from "vitest";
import { type CareSituation, judgeCare } from "../../../../server/domain/alarms/care-rules.ts";
import { stepEpisodes } from "../../../../server/domain/alarms/conditions.ts";
import { msPerDay, msPerHour } from "../../../../shared/units.ts";

const nowMs = Date.UTC(2026, 2, 14, 15);
const minute = 60_000;
const well: CareSituation = {
  backup: { lastAtMs: nowMs - msPerHour, sinceMs: nowMs - 9e9, problem: null },
  certificateUntilMs: null,
  clocks: [{ board: "hill", aheadMs: -2000 }],
};
const backup = (over: Partial<NonNullable<CareSituation["backup"]>>) => ({
  ...well,
  backup: { lastAtMs: null, sinceMs: nowMs, problem: null, ...over },
});
const clocks = (...aheadsMs: (number | null)[]) => ({
  ...well,
  clocks: aheadsMs.map((aheadMs, index) => ({ board: `b${index}`, aheadMs })),
});
const told = (care: CareSituation) =>
  judgeCare(care, nowMs).map((judgement) =>
    judgement.standing === "unknown"
      ? judgement.standing
      : `${judgement.standing}: ${judgement.condition.text}`,
  );

it("asks for nothing when all is well, or where no backups are made", () => {
  expect(told(well)).toEqual([]);
  expect(told({ backup: null, certificateUntilMs: null, clocks: [] })).toEqual([]);
});

it("asks after two days without a backup and goes on until there is one", () => {
  expect(told(backup({ lastAtMs: nowMs - 1.4 * msPerDay }))).toEqual([]);
  expect(told(backup({ lastAtMs: nowMs - 1.6 * msPerDay }))).toEqual([
    "hold: No backup was made for 2 days",
  ]);
  const problem = "copying requires free disk space";
  expect(told(backup({ lastAtMs: nowMs - 2.1 * msPerDay, problem }))).toEqual([
    `raise: No backup was made for 2 days: ${problem}`,
  ]);
});

it("gives a new server two days, but not one whose first try failed", () => {
  expect(told(backup({}))).toEqual([]);
  expect(told(backup({ sinceMs: nowMs - 3 * msPerDay }))).toEqual([
    "raise: No backup was made yet",
  ]);
  expect(told(backup({ problem: "no folder" }))).toEqual([
    "raise: No backup was made yet: no folder",
  ]);
});

it("names the board whose clock differs, and the server's when boards agree with one another", () => {
  expect(told(clocks(null, 30_000, -9 * minute))).toEqual([]);
  expect(told(clocks(5 * minute))).toEqual([
    "raise: The clock of board b0 is about 5 min ahead of the server's: set the wrong one right",
  ]);
  expect(told(clocks(-2000, -20 * minute))).toEqual([
    "raise: The clock of board b1 is about 20 min behind the server's: set the wrong one right",
  ]);
  expect(told(clocks(90_000))[0]).toMatch(/^hold: /);
  expect(told(clocks(-12 * minute))[0]).toMatch(/^hold: /);
  expect(told(clocks(5 * msPerHour, 5 * msPerHour))).toEqual([
    "raise: The server's clock is about 5 h behind its boards': set it right",
  ]);
});

it("blames the server's clock for no one board, and for none that differ from one another", () => {
  expect(told(clocks(30 * minute, 24 * msPerHour))).toEqual([
    "raise: The clocks of boards b0 (about 30 min ahead) and b1 (about 24 h ahead) differ from the server's: set the wrong ones right",
  ]);
  expect(told(clocks(-500, -300, 30 * minute, 30 * minute))[0]).toContain("boards b2 (");
  expect(told(clocks(30 * minute, null))[0]).toContain("The clock of board b0");
  expect(told(clocks(30 * minute, 31 * minute, -500))).toEqual([
    "raise: The server's clock is about 30 min behind its boards': set it right",
  ]);
  expect(told(clocks(-60 * minute, -60 * minute, -59 * minute))).toEqual([
    "raise: The server's clock is about 1 h ahead of its boards': set it right",
  ]);
  const many = told(clocks(10 * minute, 20 * minute, 30 * minute, 45 * minute, 60 * minute))[0];
  expect(many).toContain("b2 (about 30 min ahead) and 2 more differ");
});

it("asks for another certificate three weeks before it ends, and after", () => {
  const ending = (days: number) => told({ ...well, certificateUntilMs: nowMs + days * msPerDay });
  expect(ending(23)).toEqual([]);
  expect(ending(21.5)[0]).toMatch(/^hold: /);
  expect(ending(20)).toEqual([
    "raise: The certificate ends on 2026-04-03: make another and start the server anew",
  ]);
  expect(ending(-1)).toEqual([
    "raise: The certificate ended on 2026-03-13: make another and start the server anew",
  ]);
});

it("a difference that grows slowly is one episode with few words, and unseen is not cleared", () => {
  const look = { buckets: [], boards: [], store: null, timeZone: "UTC" };
  let open = stepEpisodes([], { ...look, care: clocks(130_000) }, nowMs).open;
  expect(open).toMatchObject([{ kind: "care", subject: "yard/clock" }]);
  let changes = 0;
  for (let aheadMs = 131_000; aheadMs < 60 * minute; aheadMs += 1000) {
    const step = stepEpisodes(open, { ...look, care: clocks(aheadMs) }, nowMs);
    expect(step.raised).toEqual([]);
    changes += step.changed.length;
    open = step.open;
  }
  expect(changes).toBeLessThanOrEqual(6);
  expect(stepEpisodes(open, look, nowMs).cleared).toEqual([]);
  expect(stepEpisodes(open, { ...look, care: well }, nowMs).cleared).toHaveLength(1);
});

it("asks while notices do not reach somebody", () => {
  const unreached = [
    { name: "Ann", channel: "email" },
    { name: "everyone", channel: "webhook" },
  ];
  expect(told({ ...well, unreached })).toEqual([
    "raise: Notices do not reach Ann by e-mail, everyone by web address: see the set-up page",
  ]);
  expect(told({ ...well, unreached: [] })).toEqual([]);
});

it("names the boards that send far too much, three at most", () => {
  expect(told({ ...well, tooFast: ["hill"] })).toEqual([
    "raise: Far too much comes from hill, so it is held back: look at what that board runs",
  ]);
  expect(told({ ...well, tooFast: ["a", "b", "c", "d"] })[0]).toContain("from a, b, c and 1 more,");
  expect(told({ ...well, tooFast: [] })).toEqual([]);
});
