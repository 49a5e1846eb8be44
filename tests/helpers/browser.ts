// Debian's Chromium, headless, kept from asking anybody but the page's own server.
import { type Browser, chromium, type Page } from "playwright-core";

export const phone = { width: 360, height: 800 };
export const desktop = { width: 1280, height: 900 };

export function openBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: "/usr/bin/chromium",
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

/** A page that notes every error it meets. */
export async function openPage(
  browser: Browser,
  viewport: { width: number; height: number },
): Promise<{ page: Page; errors: string[] }> {
  const page = await browser.newPage({ viewport });
  const errors: string[] = [];
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => {
    if (message.type() === "error") errors.push(message.text());
  });
  return { page, errors };
}
