// Signing in and out with the yard's one passphrase.
import { setTimeout as delay } from "node:timers/promises";
import type { Response } from "express";
import { type Role, sessionPostSchema, sessionSchema } from "../../shared/wire/viewing.ts";
import type { HttpParts } from "./parts.ts";
import { HttpProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";
import { cookieName, cookieOptions, hashOf, type SignIn } from "./sign-in.ts";

type Parts = Pick<
  HttpParts,
  "isPassphraseSet" | "checkPassphrase" | "wrongPassphraseDelayMs" | "onSignedOut" | "viewingLinks"
> & { signIn: SignIn };

const mostWaiting = 20;

export function sessionRoutes(parts: Parts): Route[] {
  const { signIn, isPassphraseSet } = parts;
  const check = createSlowCheck(parts);
  return [
    route({
      method: "get",
      path: "/session",
      summary: "Whether a passphrase is set and this browser is signed in",
      answer: sessionSchema,
      handle: ({ request }) => {
        const role = signIn.roleOf(request.get("cookie")) ?? null;
        const passphraseSet = isPassphraseSet();
        return { signedIn: role !== null, passphraseSet, role: passphraseSet ? role : "owner" };
      },
    }),
    route({
      method: "post",
      path: "/session",
      summary: "Sign in with the passphrase, or by a viewing link to look; the session is a cookie",
      mayUse: "viewer",
      body: sessionPostSchema,
      answer: sessionSchema,
      handle: async ({ body, request, response }) => {
        if (!isPassphraseSet()) {
          throw new HttpProblem(409, "signing in requires a passphrase that is set, got none");
        }
        const linkId = body.link === undefined ? null : linkIdOf(parts, body.link);
        if (linkId === null && !(await check(body.passphrase ?? ""))) {
          throw new HttpProblem(401, "signing in requires the right passphrase, got another");
        }
        response.cookie(cookieName, signIn.begin(linkId), cookieOptions(request.secure));
        const role: Role = linkId === null ? "owner" : "viewer";
        return { signedIn: true, passphraseSet: true, role };
      },
    }),
    route({
      method: "delete",
      path: "/session",
      summary: "Sign out",
      mayUse: "viewer",
      handle: ({ request, response }) => {
        const hash = signIn.end(request.get("cookie"));
        if (hash !== undefined) parts.onSignedOut?.(hash);
        forgetCookie(response, request.secure);
      },
    }),
  ];
}

/** Its secret is too long to be guessed: no other check is needed. */
function linkIdOf({ viewingLinks }: Parts, secret: string): string {
  const link = viewingLinks.findByHash(hashOf(secret));
  if (link !== undefined) return link.id;
  throw new HttpProblem(401, "looking requires a viewing link that holds, got one that doesn't");
}

function forgetCookie(response: Response, isSecure: boolean): void {
  const { maxAge: _, ...options } = cookieOptions(isSecure);
  response.clearCookie(cookieName, options);
}

/**
 * One passphrase is looked at a time, wherever it comes from, and a wrong one holds up the next:
 * guessing from many addresses is no faster than from one.
 */
function createSlowCheck({ checkPassphrase, wrongPassphraseDelayMs = 500 }: Parts) {
  let last: Promise<unknown> = Promise.resolve();
  let waiting = 0;
  return async (text: string): Promise<boolean> => {
    if (waiting >= mostWaiting) {
      throw new HttpProblem(429, "signing in requires fewer attempts at once; try again later");
    }
    waiting += 1;
    const mine = last.then(async () => {
      const isRight = await checkPassphrase(text);
      if (!isRight) await delay(wrongPassphraseDelayMs);
      return isRight;
    });
    last = mine.catch(() => undefined);
    try {
      return await mine;
    } finally {
      waiting -= 1;
    }
  };
}
