// Push to this browser with the page closed: whether it can, and how it is told to listen.
import { ApiError } from "./api.ts";
import { mayKeepPage } from "./offline.ts";

/** What stands in the way, or that nothing does. */
export type PushReach = "ready" | "plain" | "none" | "refused";

export function pushReach(): PushReach {
  if (!globalThis.isSecureContext) return "plain";
  if (!mayKeepPage() || !("PushManager" in globalThis) || !("Notification" in globalThis)) {
    return "none";
  }
  return Notification.permission === "denied" ? "refused" : "ready";
}

/** "Firefox on Android", as far as a browser tells what it is. */
export function browserName(userAgent: string): string {
  const name = firstOf(userAgent, [
    ["Edg", "Edge"],
    ["Firefox", "Firefox"],
    ["Chrom", "Chrome"],
    ["Safari", "Safari"],
  ]);
  const system = firstOf(userAgent, [
    ["Android", "Android"],
    ["iPhone", "iPhone"],
    ["iPad", "iPad"],
    ["Mac", "Mac"],
    ["Windows", "Windows"],
    ["Linux", "Linux"],
  ]);
  return system === undefined ? (name ?? "Browser") : `${name ?? "Browser"} on ${system}`;
}

function firstOf(text: string, marks: [mark: string, word: string][]): string | undefined {
  return marks.find(([mark]) => text.includes(mark))?.[1];
}

/** By what the server names this browser; undefined while it doesn't listen. */
export async function markOfThis(): Promise<string | undefined> {
  if (pushReach() !== "ready") return undefined;
  const worker = await navigator.serviceWorker.getRegistration();
  const subscription = await worker?.pushManager.getSubscription();
  return subscription ? await markOf(subscription.endpoint) : undefined;
}

async function markOf(endpoint: string): Promise<string> {
  const sum = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(endpoint));
  return [...new Uint8Array(sum)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/**
 * Asks the person and then the browser. A subscription that the server doesn't know as one that
 * listens is made anew: it may be gone, or of another yard's key. Throws with what stood in the way.
 */
export async function listenHere(publicKey: string, liveMarks: ReadonlySet<string>) {
  if ((await Notification.requestPermission()) !== "granted") {
    throw new ApiError(0, "This browser was not allowed to show notices.");
  }
  const { pushManager } = await navigator.serviceWorker.ready;
  const kept = await pushManager.getSubscription();
  const isKnown = kept !== null && liveMarks.has(await markOf(kept.endpoint));
  if (!isKnown) await kept?.unsubscribe();
  const wish = { userVisibleOnly: true, applicationServerKey: publicKey };
  const subscription = isKnown ? kept : await pushManager.subscribe(wish).catch(refusal);
  const { endpoint, keys } = subscription.toJSON();
  return { label: browserName(navigator.userAgent), subscription: { endpoint, keys } };
}

function refusal(cause: unknown): never {
  const words = cause instanceof Error ? cause.message : String(cause);
  throw new ApiError(0, `This browser can't be pushed to: ${words}`, { cause });
}
