// The kitchen as a person meets it: a boil planned and logged, a batch bottled, the season's report on paper.
import { inflateSync } from "node:zlib";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Batch, Boil } from "../../shared/wire/boils.ts";
import { openBrowser, openPage, phone } from "../helpers/browser.ts";
import { type Demo, startDemo, zoneWhereHourIs } from "../helpers/demo-process.ts";

let demo: Demo;
let browser: Browser;

beforeAll(async () => {
  const TZ = zoneWhereHourIs(9, Date.now());
  demo = await startDemo(["--seed", "9", "--speed", "60"], { TZ });
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await demo?.stop();
});

async function asked<T>(page: Page, path: string): Promise<T> {
  return (await page.request.get(`${demo.url}/api/v1${path}`)).json() as Promise<T>;
}

async function fill(page: Page, form: string, fields: Record<string, string>): Promise<void> {
  for (const [label, text] of Object.entries(fields)) {
    await page.getByRole("form", { name: form }).getByLabel(label).fill(text);
  }
}

it("a boil is planned, the thermometer zeroed, the log kept, and the pan learned from", async () => {
  const { page, errors } = await openPage(browser, phone);
  await page.goto(`${demo.url}/#/boil`);
  await fill(page, "Pan, fire and rules", { "The pan’s area": "5 sq ft" });
  await page.getByLabel("Density by the rules of").selectOption("vermont");
  await page.getByRole("button", { name: "Save" }).click();
  await page.getByText("Saved").waitFor();
  await page.getByText(/time.*learned from \d boils/).waitFor();

  await fill(page, "Zero the thermometer", { "It shows in boiling water": "90" });
  await page.getByRole("button", { name: "Zero it" }).click();
  await page.getByText(/requires a reading within 3 C/).waitFor();
  const field = page.getByLabel("It shows in boiling water");
  expect(await field.inputValue()).toBe("90");
  const finish = page.locator(".finish-temp");
  const trueC = Number.parseFloat((await finish.textContent()) ?? "");
  await field.fill("99.4");
  await page.getByRole("button", { name: "Zero it" }).click();
  await page.getByText(/on your thermometer/).waitFor();
  await expect
    .poll(async () => Number.parseFloat((await finish.textContent()) ?? ""))
    .not.toBe(trueC);

  await page.getByRole("button", { name: "Begin a boil" }).click();
  await page.getByRole("form", { name: "Sap poured in" }).getByLabel("Out of").selectOption("");
  await fill(page, "Sap poured in", { "Sap poured in": "40 gal", "Its sugar": "2.1" });
  await page.getByRole("button", { name: "Log it" }).click();
  await page.getByText("151.4 L of sap poured in of 2.1 Brix").first().waitFor();
  await page.getByText("Fuel put on", { exact: true }).click();
  await fill(page, "Fuel put on", { "Fuel put on": "95 kg" });
  await page.getByRole("button", { name: "Log it" }).click();
  await page.getByText("95 kg of wood put on").first().waitFor();
  await page.getByText("Pan's temperature", { exact: true }).click();
  await fill(page, "Pan's temperature", { "The thermometer shows": "217 °F" });
  await page.getByRole("button", { name: "Log it" }).click();
  await page.locator(".pan-watch").waitFor();
  await page.getByText("Drawn off", { exact: true }).click();
  await fill(page, "Drawn off", { "Drawn off": "3.55" });
  await page.getByRole("button", { name: "Log it" }).click();
  await page.getByText("3.55 L drawn off of 66.9 Brix").first().waitFor();
  await page.getByRole("button", { name: "The boil is over" }).click();
  await page.getByRole("button", { name: "Begin a boil" }).waitFor();
  const boil = (await asked<Boil[]>(page, "/boils")).at(-1);
  expect(boil?.entries.map(({ kind }) => kind)).toEqual(["sap", "fuel", "pan", "drawn"]);
  expect(boil?.account.sapVolumeL).toBeCloseTo(40 * 3.785411784, 3);
  // A boil of some seconds has a rate that no pan has, until its times are put right.
  const row = page.locator("li", { hasText: "151.4 L of sap in" }).first();
  await row.getByText(/a rate that no pan has/).waitFor();
  const before = boilsLearnedFrom(await page.locator(".facts").first().textContent());
  await row.getByRole("button", { name: "Unfold" }).click();
  const begun = row.getByLabel("Begun");
  const earlier = new Date(Date.parse(`${await begun.inputValue()}Z`) - 6 * 3_600_000);
  await begun.fill(earlier.toISOString().slice(0, 16));
  await row.getByRole("button", { name: "Correct the times" }).click();
  await row.getByText(/mm an hour/).waitFor();
  await expect
    .poll(async () => boilsLearnedFrom(await page.locator(".facts").first().textContent()))
    .toBe(before + 1);
  expect(errors.filter((text) => !text.includes("422"))).toEqual([]);
  await page.close();
});

function boilsLearnedFrom(facts: string | null): number {
  return Number(/time.*?learned from (\d+) boils/.exec(facts ?? "")?.[1] ?? Number.NaN);
}

it("a batch is bottled with its colour class, and its labels stand on a sheet of their own", async () => {
  const { page, errors } = await openPage(browser, phone);
  await page.goto(`${demo.url}/#/boil`);
  await fill(page, "A batch", {
    "Syrup to bottle": "3.4",
    "Light it lets through (560 nm, 10 mm)": "61",
    "Filled at": "86",
    "Size of the bottles": "250",
    "Own words for the label": "first run of the year",
  });
  await page.getByText("13 bottles of 250 mL, 0.15 L left over.").waitFor();
  await page.getByRole("button", { name: "Bottle this batch" }).click();
  await page.getByText("On record").waitFor();
  const batches = await asked<Batch[]>(page, "/batches");
  const batch = batches.at(-1);
  expect(batch).toMatchObject({ number: batches.length, colour: "amber", volumeL: 3.4 });
  const row = page.locator("li", { has: page.locator(`a[href$="labels/${batch?.id}"]`) });
  await row.getByText("filled hot enough").waitFor();
  await row.getByRole("link", { name: /^Labels/ }).click();
  await expect.poll(() => page.locator(".label").count()).toBe(13);
  for (const format of ["A4", "Letter"]) {
    const { pages, words } = readPdf(await page.pdf({ format }));
    expect(pages).toBe(1);
    expect(words).toContain("first run of the year");
    expect(words).not.toContain("Print");
  }
  expect(errors).toEqual([]);
  await page.close();
});

it("the season's report is opened, its jobs stay ticked, it is closed, and it prints", async () => {
  const { page, errors } = await openPage(browser, phone);
  await page.goto(`${demo.url}/#/season`);
  await page.getByText("sap, weighed").waitFor();
  await page.getByLabel(/^Pull the spiles/).click();
  await page.getByLabel(/^Pull the spiles \(/).waitFor();
  await page.reload();
  await page.getByLabel(/^Pull the spiles \(/).waitFor();
  expect(await page.getByLabel(/^Pull the spiles/).isChecked()).toBe(true);
  const year = (await page.getByRole("heading", { name: /season of \d{4}/ }).textContent())?.slice(
    -4,
  );
  await page.getByRole("button", { name: `Close ${year}` }).click();
  await page
    .getByText(/^Close \d{4}\? Left to do: .*spiles.*Nothing of it can be changed/)
    .waitFor();
  await page.getByRole("button", { name: "Close it" }).click();
  await page.getByText(/its records stay as they are/).waitFor();
  const refused = await page.request.post(`${demo.url}/api/v1/boils`, { data: {} });
  expect(refused.status()).toBe(409);
  for (const format of ["A4", "Letter"]) {
    const { pages, words } = readPdf(await page.pdf({ format }));
    expect(pages).toBeGreaterThanOrEqual(1);
    for (const told of [`season of ${year}`, "syrup bottled", "Gatepost", "Best days"]) {
      expect(words).toContain(told);
    }
    expect(words).not.toContain("Closing the season");
  }
  await page.getByRole("button", { name: `Open ${year} again` }).click();
  await page.getByRole("button", { name: `Close ${year}` }).waitFor();
  expect(errors).toEqual([]);
  await page.close();
});

/** Pages of a PDF and the words on them: its text by the fonts' own tables of characters (ISO 32000-1, 9.10.3). */
function readPdf(bytes: Buffer): { pages: number; words: string } {
  const raw = bytes.toString("latin1");
  expect(raw.startsWith("%PDF-")).toBe(true);
  const objects = new Map(
    [...raw.matchAll(/(\d+) 0 obj\b([\s\S]*?)endobj/g)].map(([, id, body]) => [id, body ?? ""]),
  );
  const fonts = fontTables(objects);
  const pages = [...objects.values()].filter((body) => /\/Type\s*\/Page\b/.test(body));
  const words = pages.map((page) => pageWords(page, objects, fonts)).join(" ");
  return { pages: pages.length, words };
}

function streamOf(body: string | undefined): string {
  const found = /stream\r?\n([\s\S]*?)\r?\nendstream/.exec(body ?? "");
  if (found === null) return "";
  const data = Buffer.from(found[1] ?? "", "latin1");
  return (/FlateDecode/.test(body ?? "") ? inflateSync(data) : data).toString("latin1");
}

type Objects = Map<string | undefined, string>;

/** For each font object: what its glyph numbers mean. */
function fontTables(objects: Objects): Map<string, Map<string, string>> {
  const tables = new Map<string, Map<string, string>>();
  for (const [id, body] of objects) {
    const unicode = /\/ToUnicode (\d+) 0 R/.exec(body)?.[1];
    if (id === undefined || unicode === undefined) continue;
    tables.set(id, tableOf(streamOf(objects.get(unicode))));
  }
  return tables;
}

function tableOf(map: string): Map<string, string> {
  const table = new Map<string, string>();
  const text = (hex: string) =>
    String.fromCharCode(...(hex.match(/.{4}/g) ?? []).map((each) => Number.parseInt(each, 16)));
  for (const [, block] of map.matchAll(/beginbfchar([\s\S]*?)endbfchar/g)) {
    for (const [, from, to] of (block ?? "").matchAll(/<(\w+)>\s*<(\w+)>/g)) {
      table.set(from!.toUpperCase(), text(to!));
    }
  }
  for (const [, block] of map.matchAll(/beginbfrange([\s\S]*?)endbfrange/g)) {
    for (const [, low, high, to] of (block ?? "").matchAll(/<(\w+)>\s*<(\w+)>\s*<(\w+)>/g)) {
      const first = Number.parseInt(low!, 16);
      for (let code = first; code <= Number.parseInt(high!, 16); code += 1) {
        const key = code.toString(16).toUpperCase().padStart(4, "0");
        table.set(key, String.fromCharCode(Number.parseInt(to!, 16) + code - first));
      }
    }
  }
  return table;
}

function pageWords(
  page: string,
  objects: Objects,
  fonts: Map<string, Map<string, string>>,
): string {
  const resources = /\/Resources (\d+) 0 R/.exec(page)?.[1];
  const all = resources === undefined ? page : (objects.get(resources) ?? "");
  const fontIds = new Map(
    [...all.matchAll(/\/(F\d+) (\d+) 0 R/g)].map(([, name, id]) => [name, id]),
  );
  const contents = /\/Contents (\d+) 0 R/.exec(page)?.[1];
  let table = new Map<string, string>();
  let words = "";
  for (const [, font, shown, moved] of streamOf(objects.get(contents)).matchAll(
    /\/(F\d+) [\d.]+ Tf|((?:\[[^\]]*\]\s*TJ)|(?:<\w+>\s*Tj))|(\bET\b)/g,
  )) {
    if (font !== undefined) table = fonts.get(fontIds.get(font) ?? "") ?? table;
    if (moved !== undefined) words += " ";
    words += shownText(shown ?? "", table);
  }
  return words.normalize("NFKC").replace(/\s+/g, " ");
}

function shownText(shown: string, table: Map<string, string>): string {
  const codes = [...shown.matchAll(/<(\w+)>/g)].flatMap(([, hex]) => hex?.match(/.{4}/g) ?? []);
  return codes.map((code) => table.get(code.toUpperCase()) ?? "").join("");
}
