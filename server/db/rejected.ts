// Keeps the last of what was refused, with the reason, for a person to look at.
import type { Sqlite } from "./sqlite.ts";

export type Rejected = { atMs: number; source: string; reason: string; sample: string };

export type RejectedStore = ReturnType<typeof createRejected>;

const mostRows = 1000;
const mostReasonLength = 500;
const mostSampleLength = 2000;

export function createRejected(sqlite: Sqlite) {
  const insert = sqlite.prepare(
    "INSERT INTO rejected (at_ms, source, reason, sample) VALUES (?, ?, ?, ?)",
  );
  const trim = sqlite.prepare("DELETE FROM rejected WHERE id <= ?");
  const list = sqlite.prepare(
    `SELECT at_ms AS atMs, source, reason, sample FROM rejected ORDER BY id DESC LIMIT ?`,
  );
  return {
    insertRejected({ atMs, source, reason, sample }: Rejected): void {
      const shortReason = reason.slice(0, mostReasonLength);
      const shortSample = sample.slice(0, mostSampleLength);
      const { lastInsertRowid } = insert.run(atMs, source, shortReason, shortSample);
      trim.run(Number(lastInsertRowid) - mostRows);
    },
    /** Newest first. */
    listRejected(limit: number): Rejected[] {
      return list.all(limit) as Rejected[];
    },
  };
}
