// Sessions of people: a random secret in a cookie, its hash in the store, thirty days.
import { createHash, randomBytes } from "node:crypto";
import type { CookieOptions } from "express";
import type { Clock } from "../../shared/clock.ts";
import { msPerDay } from "../../shared/units.ts";
import type { SessionStore } from "../db/sessions.ts";

export const cookieName = "brimful_session";
const secretBytes = 32;
const sessionMs = 30 * msPerDay;
const cookiePattern = new RegExp(`(?:^|;\\s*)${cookieName}=([A-Za-z0-9_-]{43})(?:;|$)`);

export type SignIn = ReturnType<typeof createSignIn>;

export function createSignIn(parts: { sessions: SessionStore; clock: Clock }) {
  const { sessions, clock } = parts;

  /** The hash of the session a Cookie header carries; undefined when it carries none that holds. */
  function sessionOf(cookieHeader: string | undefined): string | undefined {
    const secret = cookiePattern.exec(cookieHeader ?? "")?.[1];
    if (secret === undefined) return undefined;
    const hash = hashOf(secret);
    return sessions.has(hash, clock.nowMs()) ? hash : undefined;
  }

  return {
    sessionOf,

    /** Begins a session and returns the cookie's value. */
    begin(): string {
      const secret = randomBytes(secretBytes).toString("base64url");
      const createdMs = clock.nowMs();
      sessions.insert({ hash: hashOf(secret), createdMs, expiresMs: createdMs + sessionMs });
      return secret;
    },

    /** Ends a session and returns its hash, if there was one. */
    end(cookieHeader: string | undefined): string | undefined {
      const hash = sessionOf(cookieHeader);
      if (hash !== undefined) sessions.remove(hash);
      return hash;
    },
  };
}

export function cookieOptions(isSecure: boolean): CookieOptions {
  return { httpOnly: true, sameSite: "strict", secure: isSecure, path: "/", maxAge: sessionMs };
}

function hashOf(secret: string): string {
  return createHash("sha256").update(secret).digest("hex");
}
