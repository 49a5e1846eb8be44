// Who is signed in; only hashes of the cookies' secrets are kept.
import type { Sqlite } from "./sqlite.ts";

export type FoundSession = {
  /** The viewing link it was begun with; null for an owner's. */
  linkId: string | null;
};
export type NewSession = FoundSession & { hash: string; createdMs: number; expiresMs: number };

export type SessionStore = ReturnType<typeof createSessionStore>;

export function createSessionStore(sqlite: Sqlite) {
  const insertOne = sqlite.prepare(
    `INSERT INTO session (hash, created_ms, expires_ms, link_id)
     VALUES (@hash, @createdMs, @expiresMs, @linkId)`,
  );
  const findOne = sqlite.prepare(
    "SELECT link_id AS linkId FROM session WHERE hash = ? AND expires_ms > ?",
  );
  const deleteOne = sqlite.prepare("DELETE FROM session WHERE hash = ?");
  const deleteAll = sqlite.prepare("DELETE FROM session");
  const deleteExpired = sqlite.prepare("DELETE FROM session WHERE expires_ms <= ?");

  return {
    /** Opens a session and forgets those that have run out. */
    insert(session: NewSession): void {
      deleteExpired.run(session.createdMs);
      insertOne.run(session);
    },
    find: (hash: string, nowMs: number) => findOne.get(hash, nowMs) as FoundSession | undefined,
    /** Signs everybody out. */
    removeAll(): void {
      deleteAll.run();
    },
    remove(hash: string): void {
      deleteOne.run(hash);
    },
  };
}
