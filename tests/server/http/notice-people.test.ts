// People who get notices, over HTTP: secrets stay in, and what is wrong is told; viewing.test.ts shuts viewers out.
import { createHash } from "node:crypto";
import { afterEach, beforeEach, expect, test } from "vitest";
import type { NoticePerson } from "../../../shared/wire/notice-people.ts";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { subscribedBrowser } from "../../helpers/push-browser.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

const url = "http://127.0.0.1:9/t0ken";
const webhook = { url, form: "json", template: "", authorization: "Bearer k3y" };
const wishes = { kinds: null, fromSeverity: "soon", quiet: null, wake: true, digest: null };
const ann = { name: "Ann", mailTo: "", webhook, ...wishes };

async function addAnn(): Promise<NoticePerson> {
  const { status, body } = await http.post("/notice-people", ann);
  expect(status).toBe(201);
  return body as NoticePerson;
}

test("secrets go in and come back as the word set, and stay when that comes in again", async () => {
  const { id, ...shown } = await addAnn();
  expect(shown).toMatchObject({ mailTo: null, channels: [] });
  expect(shown.webhook).toEqual({
    ...webhook,
    url: "http://127.0.0.1:9/set",
    authorization: "set",
  });
  const change = { name: "Anna", webhook: shown.webhook };
  expect((await http.patch(`/notice-people/${id}`, change)).status).toBe(200);
  expect(http.parts.noticePeople.findPerson(1)).toMatchObject({ name: "Anna", webhook });
});

test("a stored secret goes to no other host", async () => {
  const { id } = await addAnn();
  const elsewhere = { ...webhook, url: "http://127.0.0.1:10/other", authorization: "set" };
  const { status, body } = await http.patch(`/notice-people/${id}`, { webhook: elsewhere });
  expect([status, JSON.stringify(body)]).toEqual([
    422,
    expect.stringContaining("webhook.authorization"),
  ]);
  const masked = { ...webhook, url: "http://127.0.0.1:10/set" };
  expect((await http.patch(`/notice-people/${id}`, { webhook: masked })).status).toBe(422);
});

test.each([
  ["a web address that is none", { webhook: { ...webhook, url: "ftp://a/b" } }],
  ["a template that is no JSON", { webhook: { ...webhook, template: "{title}" } }],
  ["a header in two lines", { webhook: { ...webhook, authorization: "a\r\nb: c" } }],
  ["an evening that is none", { digest: "24:00" }],
  ["hours that are none", { quiet: { from: "25:00", until: "06:00" } }],
  ["a kind there isn't", { kinds: ["noise"] }],
  ["no name", { name: " " }],
])("%s is refused", async (_what, over) => {
  const { status } = await http.post("/notice-people", { ...ann, ...over });
  expect(status).toBeGreaterThanOrEqual(400);
  expect(status).toBeLessThan(500);
  expect(http.parts.noticePeople.listPeople()).toEqual([]);
});

test("the test shows what the other side answered, without the address's secret", async () => {
  const { id } = await addAnn();
  const { body } = await http.post(`/notice-people/${id}/test`, { channel: "webhook" });
  expect(body).toMatchObject({ ok: false });
  expect(JSON.stringify(body)).not.toContain("t0ken");
  const [shown] = (await http.get("/notice-people")).body as NoticePerson[];
  expect(shown?.channels).toMatchObject([{ channel: "webhook", state: "dead", waiting: 0 }]);
});

test("whoever isn't there is not found", async () => {
  for (const id of ["7", "ann"]) {
    expect((await http.patch(`/notice-people/${id}`, { name: "A" })).status).toBe(404);
    expect((await http.del(`/notice-people/${id}`)).status).toBe(404);
  }
});

const endpoint = "https://127.0.0.1:9/s3cret";
const phone = () => ({
  label: "Phone",
  subscription: subscribedBrowser(endpoint).subscription,
});

test("a browser is added by its subscription, knows itself by its mark, and is taken away again", async () => {
  const { id } = await addAnn();
  const { status, body } = await http.post(`/notice-people/${id}/browsers`, phone());
  const mark = createHash("sha256").update(endpoint).digest("hex");
  const shown = [{ channel: "push-1", label: "Phone", mark, isGone: false }];
  expect([status, (body as NoticePerson).browsers]).toEqual([201, shown]);
  expect(JSON.stringify(body)).not.toContain("s3cret");
  await http.patch(`/notice-people/${id}`, { name: "Anna" });
  const again = await http.post(`/notice-people/${id}/browsers`, phone());
  expect(again.body.browsers, "in its own place").toMatchObject([{ channel: "push-2" }]);
  expect((await http.del("/notice-browsers/2")).status).toBe(204);
  expect((await http.del("/notice-browsers/2")).status).toBe(404);
  expect((await http.get("/notice-people")).body).toMatchObject([{ name: "Anna", browsers: [] }]);
});

test.each([
  ["plain HTTP", { endpoint: "http://127.0.0.1:9/s3cret" }],
  ["no address", { endpoint: "phone" }],
  ["a key that is none", { keys: { p256dh: "short", auth: "A".repeat(22) } }],
])("a subscription with %s is refused", async (_what, over) => {
  const { id } = await addAnn();
  const { label, subscription } = phone();
  const body = { label, subscription: { ...subscription, ...over } };
  expect((await http.post(`/notice-people/${id}/browsers`, body)).status).toBe(422);
  expect((await http.post("/notice-people/9/browsers", phone())).status).toBe(404);
});

test("a person has no more than ten browsers, and the key to subscribe with stays the same", async () => {
  const { id } = await addAnn();
  const add = (count: number) => {
    const { subscription } = subscribedBrowser(`${endpoint}/${count}`);
    return http.post(`/notice-people/${id}/browsers`, { label: "Phone", subscription });
  };
  for (let count = 0; count < 10; count += 1) expect((await add(count)).status).toBe(201);
  expect((await add(10)).status).toBe(409);
  expect((await add(3)).status, "one that is there already").toBe(201);
  const { body } = await http.get("/push-key");
  expect(body.publicKey).toMatch(/^[\w-]{87}$/);
  expect((await http.get("/push-key")).body).toEqual(body);
});
