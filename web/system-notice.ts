// A notice of the system's own while the page is open but not looked at, where the browser allows it.
import type { AlarmView } from "../shared/wire/api.ts";
import { shownOf } from "./worker/pushed.ts";

const mayShow = () => globalThis.isSecureContext && "Notification" in globalThis;

/** Browsers ask the person, and only after a touch. */
export async function askToShow(): Promise<void> {
  if (mayShow() && Notification.permission === "default") await Notification.requestPermission();
}

/** One a piece; the same that was pushed takes its place. What can't be shown is left: it sounds too. */
export async function showRisen(alarms: readonly AlarmView[]): Promise<void> {
  if (!mayShow() || Notification.permission !== "granted") return;
  if (document.visibilityState === "visible") return;
  const worker = await navigator.serviceWorker.getRegistration();
  for (const { kind, subject, severity, text } of alarms) {
    const shown = shownOf({ kind, subject, severity, title: text, text });
    await worker?.showNotification(shown.title, shown.options);
  }
}
