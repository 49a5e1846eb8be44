// Notices over TLS, by the program itself: taken where the other side is trusted, kept back where it isn't.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { SMTPServerOptions } from "smtp-server";
import { afterAll, afterEach, beforeAll, expect, test } from "vitest";
import { makeCertificate } from "../../helpers/certificates.ts";
import { createAsking } from "../../helpers/http-asking.ts";
import { spawnServer } from "../../helpers/mqtt-server.ts";
import { closeAll, openMail, openReceiver, status } from "../../helpers/notice-rig.ts";
import { readPush, subscribedBrowser } from "../../helpers/push-browser.ts";

type Certificate = Awaited<ReturnType<typeof makeCertificate>>;
let trusted: Certificate;
let stranger: Certificate;
let folder: string;
let server: ReturnType<typeof spawnServer>;
let api: ReturnType<typeof createAsking>;

beforeAll(async () => {
  [trusted, stranger] = await Promise.all([makeCertificate(), makeCertificate()]);
  folder = mkdtempSync(join(tmpdir(), "brimful-notices-tls-"));
  server = spawnServer(folder, { env: { NODE_EXTRA_CA_CERTS: trusted.authorityFile } });
  await server.mqttUrl();
  api = createAsking(server.httpUrl());
}, 60_000);

afterEach(closeAll);
afterAll(async () => {
  await server?.kill("SIGTERM");
  for (const each of [trusted, stranger]) each?.remove();
  rmSync(folder, { recursive: true });
});

// Told of nothing: what is wrong among these people would go out beside the tests.
const wishes = { kinds: [], fromSeverity: "soon", quiet: null, wake: false, digest: null };
const ann = { name: "Ann", mailTo: null, webhook: null, ...wishes };

async function addPerson(over: object): Promise<string> {
  const { status: code, body } = await api.post("/notice-people", { ...ann, ...over });
  expect(code).toBe(201);
  return body.id;
}
const tested = async (id: string, channel: string) =>
  (await api.post(`/notice-people/${id}/test`, { channel })).body;
const hookAt = (url: string) => ({
  webhook: { url, form: "json", template: "", authorization: "Bearer k3y" },
});

test("a web address whose certificate is trusted gets it; one of a stranger gets nothing", async () => {
  const good = await openReceiver({ tls: trusted }, status(200));
  const bad = await openReceiver({ tls: stranger }, status(200));
  expect(good.url).toMatch(/^https:/);
  const said = await tested(await addPerson(hookAt(good.url)), "webhook");
  expect(said).toEqual({ ok: true, answer: "HTTP 200" });
  const refused = await tested(await addPerson(hookAt(bad.url)), "webhook");
  expect(refused).toMatchObject({ ok: false, answer: expect.stringContaining("certificate") });
  expect([good.heard.length, bad.heard.length]).toEqual([1, 0]);
});

test("push goes to a push service over HTTPS, readable by its browser alone", async () => {
  const { heard, url } = await openReceiver({ tls: trusted }, status(201), status(410));
  const id = await addPerson({});
  const phone = subscribedBrowser(url);
  const body = { label: "Phone", subscription: phone.subscription };
  const added = await api.post(`/notice-people/${id}/browsers`, body);
  const { channel } = added.body.browsers[0];
  expect(await tested(id, channel)).toEqual({ ok: true, answer: "HTTP 201" });
  expect(JSON.parse(readPush(heard[0]!.bytes, phone.keys))).toMatchObject({ kind: "test" });
  expect(await tested(id, channel)).toMatchObject({ ok: false });
  const people = (await api.get("/notice-people")).body as { id: string; browsers: unknown[] }[];
  expect(people.find((each) => each.id === id)?.browsers).toMatchObject([{ isGone: true }]);
});

test.each([
  ["from the first byte", "smtps", { secure: true }],
  ["after STARTTLS", "smtp", { secure: false, disabledCommands: [] }],
])(
  "mail goes over TLS %s to a server that is trusted, and to no other",
  async (_how, scheme, over) => {
    const login: SMTPServerOptions = {
      onAuth({ username = "", password = "" }, _session, done) {
        logins.push(`${username} ${password}`);
        done(null, { user: username });
      },
    };
    const logins: string[] = [];
    const id = await addPerson({ mailTo: "ann@example.test" });
    const mailThrough = async ({ cert, key }: Certificate) => {
      const { mails, email } = await openMail({
        ...over,
        ...login,
        cert,
        key,
        authOptional: false,
      });
      const { port } = new URL(email.smtpUrl);
      const smtpUrl = `${scheme}://yard:s3cret@127.0.0.1:${port}`;
      const set = await api.patch("/notices", { email: { ...email, smtpUrl, to: "" } });
      expect(set.status).toBe(200);
      return { mails, said: await tested(id, "email") };
    };
    const good = await mailThrough(trusted);
    expect(good.said).toMatchObject({ ok: true, answer: expect.stringContaining("250") });
    expect([good.mails.length, logins]).toEqual([1, ["yard s3cret"]]);
    const bad = await mailThrough(stranger);
    expect(bad.said).toMatchObject({ ok: false, answer: expect.stringContaining("certificate") });
    expect([bad.mails.length, logins.length], "not even the password").toEqual([0, 1]);
  },
);
