// Orders: what a person asks of a board, answered with the board's own words.
import { AppError } from "../../shared/errors.ts";
import { orderAnswerSchema, orderPostSchema } from "../../shared/wire/orders.ts";
import type { HttpParts } from "./parts.ts";
import { type Route, route } from "./route.ts";

type Parts = Pick<HttpParts, "boards" | "orders">;

export function orderRoutes({ boards, orders }: Parts): Route[] {
  return [
    route({
      method: "post",
      path: "/boards/{id}/orders",
      summary: "Ask something of a board; answers when the board has, or after 25 s without",
      body: orderPostSchema,
      answer: orderAnswerSchema,
      handle: ({ id, body }) => {
        if (!boards.listBoards().some(({ name }) => name === id)) {
          throw new AppError("not-found", `board requires one that was heard, got ${id}`);
        }
        return orders.give(id, body);
      },
    }),
  ];
}
