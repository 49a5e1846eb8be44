// Who gets notices, as an owner sets it up: a person, a way to them, and a test that shows the other side's answer.
import { mkdtempSync, rmSync } from "node:fs";
import { createServer } from "node:http";
import { tmpdir } from "node:os";
import { join } from "node:path";
import AxeSource from "axe-core";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { openBrowser, openPage, phone } from "../helpers/browser.ts";
import { listen } from "../helpers/http-rig.ts";
import { spawnServer } from "../helpers/mqtt-server.ts";

let folder: string;
let server: ReturnType<typeof spawnServer>;
let browser: Browser;
let answer = 200;
const heard: string[] = [];
const receiver = createServer(async (request, response) => {
  let body = "";
  for await (const chunk of request) body += chunk;
  heard.push(body);
  response.writeHead(answer).end();
});
let receiverUrl: string;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "brimful-notices-"));
  server = spawnServer(folder);
  await server.mqttUrl();
  receiverUrl = `http://127.0.0.1:${await listen(receiver)}/t0ken`;
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await server?.kill("SIGTERM");
  receiver.closeAllConnections();
  receiver.close();
  rmSync(folder, { recursive: true });
});

/** What axe finds wrong by WCAG 2, levels A and AA. */
async function faults(page: Page): Promise<string[]> {
  await page.evaluate(AxeSource.source);
  return await page.evaluate(async () => {
    const axe = (globalThis as unknown as { axe: typeof AxeSource }).axe;
    const runOnly = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"];
    const { violations } = await axe.run({ runOnly });
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(" ")}`);
  });
}

it("a person is added with a web address; each test shows what the other side says, also a refusal", async () => {
  const { page, errors } = await openPage(browser, phone);
  await page.goto(`${server.httpUrl()}/#/setup`);
  await page.getByRole("button", { name: "Add a person" }).click();
  const form = page.getByRole("form", { name: "New person" });
  await form.getByLabel("Name").fill("Ann");
  await form.getByLabel("Web address to post to").fill(receiverUrl);
  await form.getByText("What is posted there").click();
  await form.getByLabel("Template").fill('{"message": "{title}"}');
  await form.getByLabel("the season's end").uncheck();
  expect(await faults(page)).toEqual([]);
  await form.getByRole("button", { name: "Save" }).click();
  await page.getByRole("button", { name: "Send a test to Ann by web address" }).click();
  await page.getByText("Went out: HTTP 200").waitFor();
  expect(heard.map((body) => JSON.parse(body))).toEqual([{ message: "Brimful: a test" }]);
  answer = 403;
  await page.getByRole("button", { name: "Send a test to Ann by web address" }).click();
  await page.getByText("Did not go out: HTTP 403").waitFor();
  expect(await faults(page)).toEqual([]);
  await page.goto(`${server.httpUrl()}/#/alarms`);
  await page.getByText("Notices do not reach Ann by web address").first().waitFor();
  expect(errors).toEqual([]);
});

it("what was saved is there again to change, with its secret hidden", async () => {
  const { page } = await openPage(browser, phone);
  await page.goto(`${server.httpUrl()}/#/setup`);
  await page.getByRole("button", { name: "Change what Ann gets" }).click();
  const form = page.getByRole("form", { name: "Notices to Ann" });
  expect(await form.getByLabel("Web address to post to").inputValue()).toMatch(/\/set$/);
  expect(await form.getByLabel("the season's end").isChecked()).toBe(false);
  await form.getByLabel("Name").fill("Anna");
  await form.getByRole("button", { name: "Save" }).click();
  await page.getByRole("button", { name: "Change what Anna gets" }).click();
  await page.getByRole("button", { name: "Remove Anna" }).click();
  await page.getByRole("button", { name: "Change what Anna gets" }).waitFor({ state: "detached" });
});
