// Boards: one that is out of use is put away.
import { AppError } from "../../shared/errors.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";

type Parts = Pick<HttpParts, "boards" | "buckets" | "watch">;

export function boardRoutes({ boards, buckets, watch }: Parts): Route[] {
  return [
    route({
      method: "delete",
      path: "/boards/{id}",
      summary:
        "Put a board away: no longer shown nor missed until it speaks again; its readings stay",
      handle: ({ id }) => {
        if (!boards.listBoards().some(({ name }) => name === id)) {
          throw new AppError("not-found", `board requires one that is shown, got ${id}`);
        }
        const hung = buckets.list().find(({ cell }) => cell?.startsWith(`${id}/`));
        if (hung !== undefined) {
          const got = `${hung.label} on ${hung.cell}`;
          throw new AppError("conflict", `putting ${id} away requires no bucket on it, got ${got}`);
        }
        if (!boards.putAway(id)) {
          throw new AppError(
            "conflict",
            `putting ${id} away requires a board that is off, got one that is on`,
          );
        }
        watch.boardChanged(id);
      },
    }),
  ];
}
