// People who get notices, over HTTP: secrets stay in, and what is wrong is told; viewing.test.ts shuts viewers out.
import { afterEach, beforeEach, expect, test } from "vitest";
import type { NoticePerson } from "../../../shared/wire/notice-people.ts";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

const url = "http://127.0.0.1:9/t0ken";
const webhook = { url, form: "json", template: "", authorization: "Bearer k3y" };
const wishes = { kinds: null, fromSeverity: "soon", quiet: null, wake: true };
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
