// Signing in and out with the yard's one passphrase.
import { setTimeout as delay } from "node:timers/promises";
import type { Response } from "express";
import { sessionPostSchema, sessionSchema } from "../../shared/wire/api.ts";
import type { HttpParts } from "./parts.ts";
import { HttpProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";
import { cookieName, cookieOptions, type SignIn } from "./sign-in.ts";

type Parts = Pick<
  HttpParts,
  "isPassphraseSet" | "checkPassphrase" | "wrongPassphraseDelayMs" | "onSignedOut"
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
      handle: ({ request }) => ({
        signedIn: signIn.sessionOf(request.get("cookie")) !== undefined,
        passphraseSet: isPassphraseSet(),
      }),
    }),
    route({
      method: "post",
      path: "/session",
      summary: "Sign in with the passphrase; the session is a cookie",
      body: sessionPostSchema,
      answer: sessionSchema,
      handle: async ({ body, request, response }) => {
        if (!isPassphraseSet()) {
          throw new HttpProblem(409, "signing in requires a passphrase that is set, got none");
        }
        if (!(await check(body.passphrase))) {
          throw new HttpProblem(401, "signing in requires the right passphrase, got another");
        }
        response.cookie(cookieName, signIn.begin(), cookieOptions(request.secure));
        return { signedIn: true, passphraseSet: true };
      },
    }),
    route({
      method: "delete",
      path: "/session",
      summary: "Sign out",
      handle: ({ request, response }) => {
        const hash = signIn.end(request.get("cookie"));
        if (hash !== undefined) parts.onSignedOut?.(hash);
        forgetCookie(response, request.secure);
      },
    }),
  ];
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
