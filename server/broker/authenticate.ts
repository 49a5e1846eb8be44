// Decides at CONNECT who a client is.
import { isIP } from "node:net";
import type { AuthenticateError, AuthenticateHandler, Client } from "aedes";
import type { Credentials } from "../db/credentials.ts";
import type { Log, OnceAMinute } from "../log.ts";
import { createSecretCheck } from "../secrets.ts";
import type { Identity } from "./rights.ts";

/** Of the clients that are connected now. */
export type Identities = Map<Client, Identity>;

export type AuthenticateParts = {
  credentials: Credentials;
  identities: Identities;
  log: Log;
  onceAMinute: OnceAMinute;
};

const badUserNameOrPassword = 4;

/** Without any enrolled board everyone on this machine may come in; with one, only who has a secret. */
export function createAuthenticate(parts: AuthenticateParts): AuthenticateHandler {
  const check = createSecretCheck();
  async function identify(client: Client, name: string, secret: string) {
    const stored = parts.credentials.findCredential(name);
    if (stored !== undefined && secret !== "") {
      const { kind, hash } = stored;
      return (await check(secret, stored)) ? { name, kind, hash } : undefined;
    }
    const isOpen = parts.credentials.countBoards() === 0 && isLoopback(addressOf(client));
    return isOpen ? ({ name: "this machine", kind: "open" } as const) : undefined;
  }
  return (...[client, username, password, done]: Parameters<AuthenticateHandler>) => {
    identify(client, username ?? "", password?.toString("utf8") ?? "").then(
      (identity) => {
        if (identity === undefined) {
          refuse(parts, { client, username });
          done(refusal("bad user name or password"), false);
          return;
        }
        parts.identities.set(client, identity);
        client.conn.once("close", () => parts.identities.delete(client));
        // A client id belongs to whoever showed the secret: nobody else can end that connection.
        client.id = `${identity.name}/${client.id}`;
        done(null, true);
      },
      (error: unknown) => done(refusal(String(error)), false),
    );
  };
}

/** Whether who came in with this identity would come in with it now. */
export function isStillGood(credentials: Credentials, identity: Identity): boolean {
  if (identity.kind === "open") return credentials.countBoards() === 0;
  const stored = credentials.findCredential(identity.name);
  return stored?.hash === identity.hash && stored?.kind === identity.kind;
}

function refuse(
  { log, onceAMinute }: AuthenticateParts,
  { client, username }: { client: Client; username: string | undefined },
): void {
  const address = addressOf(client);
  onceAMinute(`authenticate ${address}`, (unwritten) => {
    log.warn("client refused, unknown name or wrong secret", {
      name: username?.slice(0, 80),
      address,
      unwritten,
    });
  });
}

function refusal(message: string): AuthenticateError {
  return Object.assign(new Error(message), { returnCode: badUserNameOrPassword });
}

function addressOf(client: Client): string {
  return "remoteAddress" in client.conn ? (client.conn.remoteAddress ?? "") : "";
}

/** 127.0.0.0/8, ::1 and the first written as IPv6. */
export function isLoopback(address: string): boolean {
  const plain = address.replace(/^::ffff:/i, "");
  return plain === "::1" || (isIP(plain) === 4 && plain.startsWith("127."));
}
