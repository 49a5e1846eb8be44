// Tells whether a request was meant for this server: no name it doesn't know, no page of another site.
import { isIP } from "node:net";

/**
 * True for localhost, a bare address, and the given names with and without ".local". Any other
 * Host means that a name of somebody else was made to point here (DNS rebinding).
 */
export function isKnownHost(host: string | undefined, names: readonly string[]): boolean {
  const name = hostnameOf(host);
  if (name === undefined) return false;
  if (name === "localhost" || isIP(name.replace(/^\[|\]$/g, "")) !== 0) return true;
  return names.some(
    (each) => name === each.toLowerCase() || name === `${each.toLowerCase()}.local`,
  );
}

/**
 * True without an Origin (no browser, or not across origins) and for the server's own. A server that
 * speaks TLS has no page of plain HTTP: one that claims to be was put there by somebody else.
 */
export function isOwnOrigin(
  origin: string | undefined,
  host: string | undefined,
  { isTls = false } = {},
): boolean {
  if (origin === undefined) return true;
  const own = urlOf(`http://${host}`);
  const other = urlOf(origin);
  if (own === undefined || other === undefined) return false;
  const isWeb = other.protocol === "https:" || (other.protocol === "http:" && !isTls);
  return isWeb && withoutDefaultPort(other) === withoutDefaultPort(own);
}

function hostnameOf(host: string | undefined): string | undefined {
  if (host === undefined || /[/?#@\\\s]/.test(host)) return undefined;
  return urlOf(`http://${host}`)?.hostname.replace(/\.$/, "");
}

// Behind something that ends TLS the page's origin is https while this server hears plain http.
function withoutDefaultPort(url: URL): string {
  return url.host.replace(/:(80|443)$/, "");
}

function urlOf(text: string): URL | undefined {
  return URL.canParse(text) ? new URL(text) : undefined;
}
