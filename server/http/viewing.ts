// Links that let somebody look: made, listed and revoked by an owner.
import { randomBytes } from "node:crypto";
import { z } from "zod";
import {
  newViewingLinkSchema,
  viewingLinkPostSchema,
  viewingLinkSchema,
} from "../../shared/wire/viewing.ts";
import type { HttpParts } from "./parts.ts";
import { HttpProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";
import { hashOf } from "./sign-in.ts";

type Parts = Pick<HttpParts, "viewingLinks" | "clock" | "isPassphraseSet" | "onViewersOut">;

export function viewingRoutes(parts: Parts): Route[] {
  const { viewingLinks, clock } = parts;
  return [
    route({
      method: "get",
      path: "/viewing-links",
      summary: "Links that let somebody look; their secrets were told once",
      mayUse: "owner",
      answer: z.array(viewingLinkSchema),
      handle: () => viewingLinks.list(),
    }),
    route({
      method: "post",
      path: "/viewing-links",
      summary:
        "Make a link that lets somebody look and change nothing; its secret is told this once",
      body: viewingLinkPostSchema,
      answer: newViewingLinkSchema,
      status: 201,
      handle: ({ body }) => {
        if (!parts.isPassphraseSet()) {
          throw new HttpProblem(409, "a viewing link requires a passphrase that is set, got none");
        }
        const secret = randomBytes(32).toString("base64url");
        const id = randomBytes(5).toString("hex");
        const link = { id, label: body.label, createdMs: clock.nowMs() };
        viewingLinks.insert({ ...link, hash: hashOf(secret) });
        return { ...link, secret };
      },
    }),
    route({
      method: "delete",
      path: "/viewing-links/{id}",
      summary: "Revoke a link; who looks by it now is out at once",
      handle: ({ id }) => {
        viewingLinks.remove(id);
        parts.onViewersOut?.();
      },
    }),
  ];
}
