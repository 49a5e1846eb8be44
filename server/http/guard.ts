// Lets in only who may come: known Host, own Origin, and once a passphrase is set a session.
import type { Request, RequestHandler } from "express";
import { isKnownHost, isOwnOrigin } from "./hosts.ts";
import type { HttpParts } from "./parts.ts";
import { HttpProblem } from "./problem.ts";
import type { SignIn } from "./sign-in.ts";

const safeMethods = new Set(["GET", "HEAD", "OPTIONS"]);

export type Guard = ReturnType<typeof createGuard>;

type GuardParts = Pick<HttpParts, "hostNames" | "isPassphraseSet" | "areBoardsEnrolled" | "isTls">;

export function createGuard(parts: GuardParts & { signIn: SignIn }) {
  const { isTls = false } = parts;
  const isOwn = (origin: string | undefined, host: string | undefined) =>
    isOwnOrigin(origin, host, { isTls });

  const requireKnownHost: RequestHandler = (request, _response, next) => {
    const host = request.get("host");
    if (!isKnownHost(host, parts.hostNames)) {
      throw new HttpProblem(
        421,
        `host requires localhost, an address or this machine's name, got ${host ?? "none"}`,
      );
    }
    next();
  };

  const requireOwnOrigin: RequestHandler = (request, _response, next) => {
    const origin = request.get("origin");
    if (!safeMethods.has(request.method) && !isOwn(origin, request.get("host"))) {
      throw new HttpProblem(403, `origin requires this server's own page, got ${origin}`);
    }
    next();
  };

  /** Whether a passphrase is asked for and the request carries no session. */
  function isShutOut(cookieHeader: string | undefined): boolean {
    return parts.isPassphraseSet() && parts.signIn.sessionOf(cookieHeader) === undefined;
  }

  const requireSession: RequestHandler = (request, response, next) => {
    if (parts.isPassphraseSet()) {
      response.locals["role"] = parts.signIn.roleOf(request.get("cookie"));
    }
    if (!isOpenWithoutSession(request, parts) && isShutOut(request.get("cookie"))) {
      throw new HttpProblem(401, "this requires signing in with the passphrase, got no session");
    }
    next();
  };

  return {
    requireKnownHost,
    requireOwnOrigin,
    requireSession,
    requireSessionOrLoopback: createRequireSessionOrLoopback(parts.signIn),

    /** The same three questions for the socket's handshake; undefined lets it in. */
    handshakeProblem(headers: {
      host?: string | undefined;
      origin?: string | undefined;
      cookie?: string | undefined;
    }): string | undefined {
      if (!isKnownHost(headers.host, parts.hostNames)) return "unknown host";
      if (!isOwn(headers.origin, headers.host)) return "another origin";
      return isShutOut(headers.cookie) ? "not signed in" : undefined;
    },
  };
}

/** For figures of the machine: whoever is on it, or is signed in. */
function createRequireSessionOrLoopback(signIn: SignIn): RequestHandler {
  return (request, _response, next) => {
    const isProxied = request.get("x-forwarded-for") ?? request.get("forwarded");
    const isHere = isLoopback(request.socket.remoteAddress) && isProxied === undefined;
    if (!isHere && signIn.sessionOf(request.get("cookie")) === undefined) {
      throw new HttpProblem(401, "this requires a session or this machine itself, got neither");
    }
    next();
  };
}

/** Signing in itself, and boards that show their own secret. */
function isOpenWithoutSession(request: Request, parts: GuardParts): boolean {
  if (request.path === "/session") return true;
  const isReadings = request.method === "POST" && request.path === "/readings";
  return isReadings && parts.areBoardsEnrolled();
}

export function isLoopback(address: string | undefined): boolean {
  if (address === undefined) return false;
  return address === "::1" || /^(::ffff:)?127\./.test(address);
}
