// Keeps browsers that get a person's notices with the page closed.
import { AppError } from "../../shared/errors.ts";
import type { PushSubscription } from "../../shared/wire/notice-people.ts";
import type { Sqlite } from "./sqlite.ts";
import { transactional } from "./transactional.ts";

export type StoredBrowser = {
  id: number;
  label: string;
  subscription: PushSubscription;
  /** When its push service said that it is no more; null while it listens. */
  goneMs: number | null;
};
type BrowserRow = Omit<StoredBrowser, "subscription"> & { personId: number; subscription: string };

/** More than a person has browsers. */
const mostBrowsers = 10;

export function createNoticeBrowserStore(sqlite: Sqlite) {
  const all = sqlite.prepare(
    `SELECT id, person_id AS personId, label, subscription, gone_ms AS goneMs
     FROM notice_push ORDER BY id`,
  );
  const insert = sqlite.prepare(
    "INSERT INTO notice_push (person_id, label, subscription) VALUES (?, ?, ?)",
  );
  const remove = sqlite.prepare("DELETE FROM notice_push WHERE id = ?");
  const gone = sqlite.prepare("UPDATE notice_push SET gone_ms = ? WHERE id = ?");
  const list = () =>
    (all.all() as BrowserRow[]).map(({ subscription, ...row }) => ({
      ...row,
      subscription: JSON.parse(subscription) as PushSubscription,
    }));
  return {
    listBrowsers: list,
    /**
     * Takes the place of the same browser's earlier subscription, and of those that are gone and
     * had its name. Throws AppError "conflict" when there are too many.
     */
    insertBrowser: transactional(
      sqlite,
      (
        personId: number,
        { label, subscription }: Pick<StoredBrowser, "label" | "subscription">,
      ) => {
        const own = list().filter((row) => row.personId === personId);
        const old = own.filter((row) => {
          const isSame = row.subscription.endpoint === subscription.endpoint;
          return isSame || (row.goneMs !== null && row.label === label);
        });
        for (const { id } of old) remove.run(id);
        if (own.length - old.length >= mostBrowsers) {
          throw new AppError(
            "conflict",
            `browsers require to be at most ${mostBrowsers}, got more`,
          );
        }
        insert.run(personId, label, JSON.stringify(subscription));
      },
    ),
    /** Throws AppError "not-found". */
    removeBrowser(id: number): void {
      if (remove.run(id).changes === 1) return;
      throw new AppError("not-found", `browser requires one that exists, got ${id}`);
    },
    markGone: (id: number, atMs: number): void => {
      gone.run(atMs, id);
    },
  };
}
