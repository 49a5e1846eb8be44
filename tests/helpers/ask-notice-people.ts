// Asks every route about people who get notices once, each with what it takes.
import { subscribedBrowser } from "./push-browser.ts";

type AskOne = (
  method: string,
  path: string,
  ask?: { at?: string; body?: unknown },
) => Promise<unknown>;

export async function askNoticePeople(ask: AskOne) {
  const hours = { quiet: null, wake: true, digest: "19:30" };
  const ways = { mailTo: "a@example.test", webhook: null };
  const body = { name: "Ann", ...ways, kinds: ["brim"], fromSeverity: "soon", ...hours };
  await ask("POST", "/notice-people", { body });
  const [at, test] = ["/notice-people/1", "/notice-people/1/test"];
  await ask("POST", "/notice-people/{id}/test", { at: test, body: { channel: "email" } });
  await ask("PATCH", "/notice-people/{id}", { at, body: { name: "Anna" } });
  const { subscription } = subscribedBrowser("https://127.0.0.1:9/phone");
  const browsers = { at: "/notice-people/1/browsers", body: { label: "Phone", subscription } };
  await ask("POST", "/notice-people/{id}/browsers", browsers);
  await ask("GET", "/push-key");
  await ask("GET", "/notice-people");
  await ask("DELETE", "/notice-browsers/{id}", { at: "/notice-browsers/1" });
  await ask("DELETE", "/notice-people/{id}", { at });
}
