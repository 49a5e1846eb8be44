// Who may see the yard: asks the server before the live link is opened.
import { callApi } from "./api.ts";

export type Session = { signedIn: boolean; passphraseSet: boolean };

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
