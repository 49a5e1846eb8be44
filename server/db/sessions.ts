// Who is signed in; only hashes of the cookies' secrets are kept.
import type { Sqlite } from "./sqlite.ts";

export type SessionStore = ReturnType<typeof createSessionStore>;

export function createSessionStore(sqlite: Sqlite) {
  const insertOne = sqlite.prepare(
    "INSERT INTO session (hash, created_ms, expires_ms) VALUES (@hash, @createdMs, @expiresMs)",
  );
  const findOne = sqlite.prepare("SELECT 1 FROM session WHERE hash = ? AND expires_ms > ?").pluck();
  const deleteOne = sqlite.prepare("DELETE FROM session WHERE hash = ?");
  const deleteAll = sqlite.prepare("DELETE FROM session");
  const deleteExpired = sqlite.prepare("DELETE FROM session WHERE expires_ms <= ?");

  return {
    /** Opens a session and forgets those that have run out. */
    insert(session: { hash: string; createdMs: number; expiresMs: number }): void {
      deleteExpired.run(session.createdMs);
      insertOne.run(session);
    },
    has: (hash: string, nowMs: number) => findOne.get(hash, nowMs) === 1,
    /** Signs everybody out. */
    removeAll(): void {
      deleteAll.run();
    },
    remove(hash: string): void {
      deleteOne.run(hash);
    },
  };
}
