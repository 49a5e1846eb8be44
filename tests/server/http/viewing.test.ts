// Tests who may look and who may change: viewing links, what they open, and their end.

import { io } from "socket.io-client";
import { afterEach, beforeEach, expect, test } from "vitest";
import { listRoutes } from "../../../server/http/app.ts";
import { createLive } from "../../../server/live/live.ts";
import { problemSchema } from "../../../shared/wire/api.ts";
import { type HttpRig, openHttpRig, passphrase } from "../../helpers/http-rig.ts";
import { packText } from "../../helpers/store-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig({ hasPassphrase: true });
});
afterEach(() => http.close());

const cookieFrom = (headers: Headers) => ({
  cookie: headers.get("set-cookie")?.split(";")[0] ?? "",
});

async function owner() {
  return cookieFrom((await http.post("/session", { passphrase })).headers);
}

async function makeLink(label = "Neighbour") {
  return (await http.post("/viewing-links", { label }, await owner())).body as {
    id: string;
    secret: string;
  };
}

async function viewer() {
  const { id, secret } = await makeLink();
  const { status, body, headers } = await http.post("/session", { link: secret });
  expect([status, body]).toEqual([200, { signedIn: true, passphraseSet: true, role: "viewer" }]);
  return { id, secret, cookie: cookieFrom(headers) };
}

test("a link's secret is told once and only its hash is kept", async () => {
  const { id, secret } = await makeLink();
  expect(secret).toMatch(/^[\w-]{43}$/);
  const stored = http.rig.sqlite.prepare("SELECT * FROM viewing_link").all();
  expect(JSON.stringify(stored)).not.toContain(secret);
  const listed = (await http.get("/viewing-links", await owner())).body;
  expect(listed).toEqual([{ id, label: "Neighbour", createdMs: http.rig.clock.nowMs() }]);
});

/** What a viewer may send though it isn't a GET: it reckons, or is about the own session. */
const harmless = [
  "POST /session",
  "DELETE /session",
  "POST /syrup/plan",
  "POST /syrup/adjust",
  "POST /syrup/hydrometer",
  "POST /syrup/pan",
  "POST /corrections/preview",
];
const owners = [
  "GET /notices",
  "GET /notice-people",
  "GET /push-key",
  "GET /viewing-links",
  "GET /backup",
];

test("a viewer reads, and every route that changes anything or tells secrets is shut", async () => {
  const { cookie } = await viewer();
  for (const { method, path } of listRoutes(http.parts, http.signIn)) {
    const name = `${method.toUpperCase()} ${path}`;
    if (harmless.includes(name)) continue;
    const at = `/api/v1${path.replace("{id}", "gate")}`;
    const answer = await http.send(method.toUpperCase(), at, { headers: cookie });
    const isShut = method !== "get" || owners.includes(name);
    expect([name, answer.status === 403], name).toEqual([name, isShut]);
    const text = await answer.text();
    if (isShut) {
      expect(problemSchema.parse(JSON.parse(text)).detail).toBe(
        "this requires the owner's passphrase, got a viewing link",
      );
    }
  }
  expect((await http.get("/yard", cookie)).status).toBe(200);
  expect((await http.post("/readings", packText({}), cookie)).status).toBe(403);
  expect(http.rig.intake.counts().readings).toBe(0);
});

test("a revoked link opens nothing, and who looks by it is out at once", async () => {
  const { id, secret, cookie } = await viewer();
  const kin = await viewer();
  expect((await http.del(`/viewing-links/${id}`, await owner())).status).toBe(204);
  expect((await http.get("/yard", cookie)).status).toBe(401);
  expect((await http.get("/yard", kin.cookie)).status).toBe(200);
  expect((await http.post("/session", { link: secret })).status).toBe(401);
  expect((await http.del(`/viewing-links/${id}`, await owner())).status).toBe(404);
});

test("an open page of a revoked link is closed", async () => {
  await http.close();
  let out: () => void = () => undefined;
  http = await openHttpRig({
    hasPassphrase: true,
    onViewersOut: () => out(),
  });
  const live = createLive({ ...http, httpServer: http.server, restMs: 20 });
  live.start();
  out = live.endShutOut;
  const { id, cookie } = await viewer();
  const page = io(http.url, {
    extraHeaders: cookie,
    transports: ["websocket"],
    reconnection: false,
  });
  await new Promise<void>((resolve) => page.once("yard", () => resolve()));
  const left = new Promise<string>((resolve) => page.once("disconnect", resolve));
  await http.del(`/viewing-links/${id}`, await owner());
  expect(await left).toBe("io server disconnect");
  await live.stop();
});

test("a link needs a passphrase to look past, a viewer signs out, and too many links are refused", async () => {
  const { cookie } = await viewer();
  expect((await http.del("/session", cookie)).status).toBe(204);
  expect((await http.get("/yard", cookie)).status).toBe(401);
  expect((await http.post("/session", { link: "x".repeat(43), passphrase: "y" })).status).toBe(422);
  expect((await http.post("/session", {})).status).toBe(422);
  const all = await owner();
  for (let count = 1; count < 50; count++) await http.post("/viewing-links", { label: "x" }, all);
  expect((await http.post("/viewing-links", { label: "x" }, all)).status).toBe(409);
  await http.close();
  http = await openHttpRig();
  expect((await http.post("/viewing-links", { label: "x" })).status).toBe(409);
});
