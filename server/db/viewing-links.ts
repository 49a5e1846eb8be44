// Keeps the links that let somebody look; only the hash of what is secret in each.
import { AppError } from "../../shared/errors.ts";
import type { ViewingLink } from "../../shared/wire/viewing.ts";
import type { Sqlite } from "./sqlite.ts";

export type ViewingLinkStore = ReturnType<typeof createViewingLinkStore>;

/** More would be forgotten about. */
const mostLinks = 50;

export function createViewingLinkStore(sqlite: Sqlite) {
  const columns = "id, label, created_ms AS createdMs";
  const insert = sqlite.prepare(
    "INSERT INTO viewing_link (id, label, hash, created_ms) VALUES (@id, @label, @hash, @createdMs)",
  );
  const list = sqlite.prepare(`SELECT ${columns} FROM viewing_link ORDER BY created_ms, id`);
  const find = sqlite.prepare(`SELECT ${columns} FROM viewing_link WHERE hash = ?`);
  const remove = sqlite.prepare("DELETE FROM viewing_link WHERE id = ?");
  const listLinks = () => list.all() as ViewingLink[];
  return {
    /** Throws AppError "conflict" when there are too many. */
    insert(link: ViewingLink & { hash: string }): void {
      if (listLinks().length >= mostLinks) {
        throw new AppError(
          "conflict",
          `viewing links require to be at most ${mostLinks}, got more`,
        );
      }
      insert.run(link);
    },
    list: listLinks,
    findByHash: (hash: string) => find.get(hash) as ViewingLink | undefined,
    /** Ends the sessions begun with it too. Throws AppError "not-found". */
    remove(id: string): void {
      if (remove.run(id).changes === 1) return;
      throw new AppError("not-found", `viewing link requires one that exists, got ${id}`);
    },
  };
}
