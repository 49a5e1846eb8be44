// Who may see the yard: asks the server before the live link is opened.
import type { Session } from "../shared/wire/viewing.ts";
import { callApi } from "./api.ts";

/** The session as the server sees it; undefined while it doesn't answer. */
export async function askSession(): Promise<Session | undefined> {
  try {
    return await callApi<Session>("GET", "/session");
  } catch {
    return undefined;
  }
}

export function mayEnter(session: Session | undefined): boolean {
  return session !== undefined && (session.signedIn || !session.passphraseSet);
}

/** What is secret in a viewing link's address, "#/visit/…"; it stands behind the # and is sent to nobody. */
export function visitFromHash(hash: string): string | undefined {
  return /^#\/visit\/([A-Za-z0-9_-]{43})$/.exec(hash)?.[1];
}

export function visitAddress(origin: string, secret: string): string {
  return `${origin}/#/visit/${secret}`;
}

/** Comes in by a viewing link; whoever is in already stays what they are. */
export async function enterByLink(link: string): Promise<void> {
  const session = await callApi<Session>("GET", "/session");
  if (!mayEnter(session)) await callApi("POST", "/session", { link });
}
