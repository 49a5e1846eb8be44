// Keeps the page in the browser where that is allowed, and notices when a newer version has come.

/** Browsers allow it over HTTPS and on the machine itself. */
export function mayKeepPage(): boolean {
  return globalThis.isSecureContext && "serviceWorker" in navigator;
}

/** Calls `newer` once this page is older than what the server hands out. */
export function keepPage(newer: () => void): void {
  if (!mayKeepPage()) return;
  const workers = navigator.serviceWorker;
  // A browser that refuses, for a private window say, shows the page all the same.
  workers.register("./worker.js").catch(() => undefined);
  workers.addEventListener("controllerchange", () => {
    isOutdated().then(
      (is) => {
        if (is) newer();
      },
      () => undefined,
    );
  });
}

/** Asks the server for the page and looks whether it still starts with this very script. */
async function isOutdated(): Promise<boolean> {
  const script = document.querySelector<HTMLScriptElement>('script[type="module"]')?.src;
  if (script === undefined) return false;
  const text = await (await fetch("./", { cache: "no-store" })).text();
  return !text.includes(new URL(script).pathname.split("/").at(-1) ?? "");
}
