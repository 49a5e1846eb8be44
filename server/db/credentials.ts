// Keeps who may speak over MQTT, with the hash of each one's secret.
import type { Sqlite } from "./sqlite.ts";

export type CredentialKind = "board" | "reader" | "forecaster";
/** Without anything of the secret. */
export type Enrolled = {
  name: string;
  kind: CredentialKind;
  createdMs: number;
  revokedMs: number | null;
};
export type Credential = { name: string; kind: CredentialKind; salt: string; hash: string };

export type Credentials = ReturnType<typeof createCredentials>;

export function createCredentials(sqlite: Sqlite) {
  const save = sqlite.prepare(
    `INSERT INTO credential (name, kind, salt, hash, created_ms) VALUES (?, ?, ?, ?, ?)
     ON CONFLICT (name) DO UPDATE SET kind = excluded.kind, salt = excluded.salt,
     hash = excluded.hash, created_ms = excluded.created_ms, revoked_ms = NULL`,
  );
  const revoke = sqlite.prepare(
    "UPDATE credential SET revoked_ms = ? WHERE name = ? AND revoked_ms IS NULL",
  );
  const find = sqlite.prepare(
    "SELECT name, kind, salt, hash FROM credential WHERE name = ? AND revoked_ms IS NULL",
  );
  const list = sqlite.prepare(
    `SELECT name, kind, created_ms AS createdMs, revoked_ms AS revokedMs FROM credential
     ORDER BY name`,
  );
  const count = sqlite
    .prepare("SELECT count(*) FROM credential WHERE kind = 'board' AND revoked_ms IS NULL")
    .pluck();
  return {
    /** A new secret for the name; the one before is no longer good. */
    saveCredential({ name, kind, salt, hash }: Credential, atMs: number): void {
      save.run(name, kind, salt, hash, atMs);
    },
    /** False when there was nothing to revoke. */
    revokeCredential(name: string, atMs: number): boolean {
      return revoke.run(atMs, name).changes === 1;
    },
    findCredential: (name: string) => find.get(name) as Credential | undefined,
    /** Revoked ones among them. */
    listCredentials: () => list.all() as Enrolled[],
    countBoards: () => count.get() as number,
  };
}
