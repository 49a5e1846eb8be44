// Every call to the file system fails once in turn while a backup takes the store's place: the one or the other is whole.
import { cpSync, existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { copyStore } from "../../server/db/copy.ts";
import { restoreStore } from "../../server/db/restore.ts";
import { openSqlite } from "../../server/db/sqlite.ts";
import { createStores } from "../../server/db/stores.ts";
import { createFailingFiles, type Failing } from "../helpers/failing-calls.ts";
import { startMs } from "../helpers/store-rig.ts";

let failing: Failing;
let folder: string;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), "brimful-calls-"));
  failing = await createFailingFiles();
});
afterEach(() => {
  failing.restore();
  rmSync(folder, { recursive: true });
});

/** A store in which so many boards were heard, and a backup in which one was. */
async function furnish(data: string, backup: string): Promise<void> {
  const stores = createStores(data);
  stores.boards.heard("hill", startMs);
  await copyStore(join(data, "brimful.db"), backup);
  stores.boards.heard("dale", startMs);
  stores.close();
}

function boardsIn(data: string): number {
  const sqlite = openSqlite(join(data, "brimful.db"), { readonly: true });
  const count = sqlite.prepare("SELECT count(*) FROM board").pluck().get() as number;
  expect(sqlite.pragma("integrity_check", { simple: true })).toBe("ok");
  sqlite.close();
  return count;
}

it("restoring that fails anywhere leaves the store as it was, and restoring again does it", async () => {
  const backup = join(folder, "backup.db");
  await furnish(join(folder, "data"), backup);
  for (let number = 1; ; number += 1) {
    const data = join(folder, `data-${number}`);
    cpSync(join(folder, "data"), data, { recursive: true });
    failing.arm(number);
    const order = { folder: data, file: backup, nowMs: startMs };
    const failure = await restoreStore(order).then(
      () => undefined,
      (error: unknown) => error,
    );
    const failed = failing.disarm();
    // After the step that puts it in place there is still the folder to be synced.
    const isInPlace = failure !== undefined && boardsIn(data) === 1;
    if (failure !== undefined && !isInPlace) {
      expect({ failed, boards: boardsIn(data) }).toEqual({ failed, boards: 2 });
      expect(existsSync(join(data, "brimful.db.restoring"))).toBe(false);
      await restoreStore({ ...order, nowMs: startMs + 60_000 });
    }
    expect({ failed, boards: boardsIn(data) }).toEqual({ failed, boards: 1 });
    createStores(data).close();
    if (failed === undefined) return expect(number).toBeGreaterThan(5);
  }
}, 120_000);
