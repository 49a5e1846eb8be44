// Sessions of people: a random secret in a cookie, its hash in the store, thirty days.
import { createHash, randomBytes } from "node:crypto";
import type { CookieOptions } from "express";
import type { Clock } from "../../shared/clock.ts";
import { msPerDay } from "../../shared/units.ts";
import type { Role } from "../../shared/wire/viewing.ts";
import type { SessionStore } from "../db/sessions.ts";

export const cookieName = "brimful_session";
const secretBytes = 32;
const sessionMs = 30 * msPerDay;
const cookiePattern = new RegExp(`(?:^|;\\s*)${cookieName}=([A-Za-z0-9_-]{43})(?:;|$)`);

export type SignIn = ReturnType<typeof createSignIn>;

export function createSignIn(parts: { sessions: SessionStore; clock: Clock }) {
  const { sessions, clock } = parts;

  function find(cookieHeader: string | undefined): { hash: string; role: Role } | undefined {
    const secret = cookiePattern.exec(cookieHeader ?? "")?.[1];
    if (secret === undefined) return undefined;
    const hash = hashOf(secret);
    const found = sessions.find(hash, clock.nowMs());
    return found && { hash, role: found.linkId === null ? "owner" : "viewer" };
  }

  /** The hash of the session a Cookie header carries; undefined when it carries none that holds. */
  const sessionOf = (cookieHeader: string | undefined) => find(cookieHeader)?.hash;

  return {
    sessionOf,

    /** What the session allows; undefined without one. */
    roleOf: (cookieHeader: string | undefined) => find(cookieHeader)?.role,

    /** Begins a session, a viewer's by a link or an owner's, and returns the cookie's value. */
    begin(linkId: string | null = null): string {
      const secret = randomBytes(secretBytes).toString("base64url");
      const createdMs = clock.nowMs();
      sessions.insert({
        hash: hashOf(secret),
        createdMs,
        expiresMs: createdMs + sessionMs,
        linkId,
      });
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

/** Fit for secrets that are random and long, and for no other. */
export function hashOf(secret: string): string {
  return createHash("sha256").update(secret).digest("hex");
}
