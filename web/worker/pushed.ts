// A notice that was pushed while the page is closed: shown by the system, and the page opened at a touch.
import type { WorkerScope } from "./worker-scope.ts";

type Shown = { title: string; options: NotificationOptions & { renotify?: boolean } };

type Parts = Record<"title" | "text" | "kind" | "subject" | "severity", string>;

/** What the system shows of a pushed text; of one that can't be read, that there was one. */
export function shownFrom(text: string): Shown {
  return shownOf(partsOf(text));
}

/** What the system shows of a notice. */
export function shownOf({ title, text: body, kind, subject, severity }: Parts): Shown {
  const isAlarm = kind !== "evening" && kind !== "test";
  return {
    title,
    options: {
      ...(body === title ? {} : { body }),
      icon: "./pail-192.png",
      // The next of the same takes its place, and is heard again.
      tag: `${kind} ${subject}`,
      renotify: true,
      requireInteraction: severity === "now",
      data: { hash: isAlarm ? "#/alarms" : "#/" },
    },
  };
}

function partsOf(text: string): Parts {
  const unread = { title: "A notice from the yard", text: "Open the page to see it" };
  const rest = { kind: "", subject: "", severity: "soon" };
  try {
    return { ...unread, ...rest, ...(JSON.parse(text) as object) };
  } catch {
    return { ...unread, ...rest };
  }
}

export async function showPushed({ registration }: WorkerScope, text: string): Promise<void> {
  const { title, options } = shownFrom(text);
  await registration.showNotification(title, options);
}

/** Brings the page to the front where it is open, and opens it where it isn't. */
export async function openPage(scope: WorkerScope, notification: Notification): Promise<void> {
  notification.close();
  const { hash } = notification.data as { hash: string };
  const url = new URL(hash, scope.registration.scope).href;
  const [open] = await scope.clients.matchAll({ type: "window" });
  if (open === undefined) {
    await scope.clients.openWindow(url);
    return;
  }
  await open.focus();
  await open.navigate(url);
}
