// Who may come in: hosts, origins, sessions, limits; and what is said of broken requests.
import { afterEach, describe, expect, test } from "vitest";
import { problemSchema } from "../../../shared/wire/api.ts";
import {
  type HttpRig,
  type HttpRigOptions,
  openHttpRig,
  passphrase,
  rawRequest,
} from "../../helpers/http-rig.ts";

let http: HttpRig;
afterEach(() => http.close());

async function open(options?: HttpRigOptions) {
  http = await openHttpRig(options);
}

describe("host and origin", () => {
  test("a name that was made to point here gets nothing, not even the page", async () => {
    await open();
    for (const path of ["/api/v1/yard", "/", "/healthz", "/metrics"]) {
      const headers = { host: "elsewhere.test" };
      const { status, text } = await rawRequest(`${http.url}${path}`, { headers });
      expect(status).toBe(421);
      expect(problemSchema.parse(JSON.parse(text)).detail).toContain("got elsewhere.test");
    }
    const own = await rawRequest(`${http.url}/healthz`, { headers: { host: "sugarhouse.local" } });
    expect(own.status).toBe(200);
  });

  test("a page of another site can change nothing", async () => {
    await open();
    const origin = { origin: "http://elsewhere.test" };
    expect((await http.post("/trees", { label: "Gate" }, origin)).status).toBe(403);
    expect((await http.del("/trees/gate", origin)).status).toBe(403);
    expect((await http.post("/alarms/1/seen", undefined, { origin: "null" })).status).toBe(403);
    expect((await http.post("/trees", { label: "Gate" }, { origin: http.url })).status).toBe(201);
    const form = { "content-type": "text/plain" };
    const sent = await http.send("POST", "/api/v1/trees", { body: '{"label":"x"}', headers: form });
    expect(sent.status).toBe(415);
    expect(http.parts.trees.list()).toHaveLength(1);
  });
});

describe("sessions", () => {
  const routes = [
    ["GET", "/yard"],
    ["PATCH", "/yard"],
    ["GET", "/trees"],
    ["GET", "/alarms"],
    ["POST", "/alarms/1/seen"],
    ["GET", "/notices"],
    ["POST", "/readings"],
    ["GET", "/openapi.json"],
    ["GET", "/export/readings.csv"],
    ["GET", "/nothing-here"],
  ];

  test("with a passphrase set nothing is told or changed without one", async () => {
    await open({ hasPassphrase: true });
    for (const [method = "", path = ""] of routes) {
      const answer = await http.send(method, `/api/v1${path}`);
      expect([path, answer.status]).toEqual([path, 401]);
      expect(problemSchema.parse(await answer.json()).title).toBe("Unauthorized");
    }
    expect((await http.send("GET", "/healthz")).status).toBe(200);
    expect((await http.get("/session")).body).toEqual({
      signedIn: false,
      passphraseSet: true,
      role: null,
    });
  });

  test("the right passphrase opens one for thirty days, its cookie is out of scripts' reach", async () => {
    await open({ hasPassphrase: true });
    const signedIn = await http.post("/session", { passphrase });
    expect(signedIn.body).toEqual({ signedIn: true, passphraseSet: true, role: "owner" });
    const set = signedIn.headers.get("set-cookie")!;
    expect(set).toMatch(
      /^brimful_session=[\w-]{43}; Max-Age=2592000; Path=\/; Expires=.*; HttpOnly; SameSite=Strict$/,
    );
    const cookie = set.split(";")[0]!;
    const stored = http.rig.sqlite.prepare("SELECT hash FROM session").pluck().all() as string[];
    expect(stored).toHaveLength(1);
    expect(stored[0]).toMatch(/^[0-9a-f]{64}$/);
    expect(cookie).not.toContain(stored[0]);
    expect((await http.get("/yard", { cookie: `a=b; ${cookie}; c=d` })).status).toBe(200);
    http.rig.clock.advance(30 * 86_400_000 - 1);
    expect((await http.get("/yard", { cookie })).status).toBe(200);
    http.rig.clock.advance(1);
    expect((await http.get("/yard", { cookie })).status).toBe(401);
  });

  test("signing out ends it, a made-up cookie opens nothing", async () => {
    const ended: string[] = [];
    await open({ hasPassphrase: true, onSignedOut: (hash) => ended.push(hash) });
    const cookie = `brimful_session=${http.signIn.begin()}`;
    expect((await http.get("/session", { cookie })).body.signedIn).toBe(true);
    const out = await http.del("/session", { cookie });
    expect(out.status).toBe(204);
    expect(out.headers.get("set-cookie")).toContain("Expires=Thu, 01 Jan 1970");
    expect(ended).toHaveLength(1);
    expect((await http.get("/yard", { cookie })).status).toBe(401);
    expect((await http.del("/session")).status).toBe(204);
    expect(ended).toHaveLength(1);
    const made = `brimful_session=${"A".repeat(43)}`;
    expect((await http.get("/yard", { cookie: made })).status).toBe(401);
  });

  test("a wrong passphrase is refused, and after ten in a minute all are", async () => {
    await open({ hasPassphrase: true });
    for (let attempt = 1; attempt <= 10; attempt += 1) {
      const { status, body } = await http.post("/session", { passphrase: `guess ${attempt}` });
      expect([status, body.detail]).toEqual([
        401,
        "signing in requires the right passphrase, got another",
      ]);
    }
    const limited = await http.post("/session", { passphrase });
    expect(limited.status).toBe(429);
    expect(problemSchema.parse(limited.body).title).toBe("Too Many Requests");
    expect(Number(limited.headers.get("retry-after"))).toBeGreaterThan(0);
    expect((await http.get("/session")).status).toBe(200);
  });

  test("passphrases are looked at one at a time, a wrong one holds up the next", async () => {
    const spans: string[] = [];
    await open({
      hasPassphrase: true,
      wrongPassphraseDelayMs: 30,
      checkPassphrase: async (text) => {
        spans.push(`${text} begins`);
        await new Promise((resolve) => setImmediate(resolve));
        spans.push(`${text} ends`);
        return false;
      },
    });
    const startedMs = performance.now();
    await Promise.all(["a", "b", "c"].map((text) => http.post("/session", { passphrase: text })));
    expect(performance.now() - startedMs).toBeGreaterThan(85);
    for (let index = 0; index < spans.length; index += 2) {
      expect(spans[index + 1]).toBe(spans[index]!.replace("begins", "ends"));
    }
  });

  test("without a passphrase there is nothing to sign in to", async () => {
    await open();
    expect((await http.post("/session", { passphrase: "x" })).status).toBe(409);
    expect((await http.get("/session")).body).toEqual({
      signedIn: false,
      passphraseSet: false,
      role: "owner",
    });
    expect((await http.get("/yard")).status).toBe(200);
  });
});

describe("broken requests", () => {
  test("a body that isn't JSON, isn't said to be, or is too large", async () => {
    await open();
    const broken = await http.post("/trees", '{"label":');
    expect([broken.status, broken.body.title]).toEqual([400, "Bad Request"]);
    expect(broken.body.detail).toContain("body requires JSON");
    const large = await http.post("/trees", { label: "x".repeat(1_000_000) });
    expect([large.status, large.body.detail]).toEqual([
      413,
      "body requires at most 262144 bytes, got 1000012",
    ]);
    const xml = await http.post("/trees", "<x/>", { "content-type": "text/xml" });
    expect([xml.status, xml.body.detail]).toEqual([
      415,
      "content-type requires application/json, got text/xml",
    ]);
    expect((await http.post("/trees")).status).toBe(415);
    expect((await http.post("/trees", "{}", { "content-encoding": "odd" })).status).toBe(415);
    expect((await http.get("/yard")).status).toBe(200);
  });

  test("a path or method that isn't there", async () => {
    await open();
    const nowhere = await http.get("/nowhere");
    expect([nowhere.status, problemSchema.parse(nowhere.body).status]).toEqual([404, 404]);
    expect((await http.send("GET", "/api/v2/yard")).status).toBe(404);
    expect((await http.send("GET", "/nowhere.html")).status).toBe(404);
    const put = await http.send("PUT", "/api/v1/trees/gate");
    expect([put.status, put.headers.get("allow")]).toEqual([405, "PATCH, DELETE"]);
    expect((await put.json()).detail).toBe("method requires PATCH, DELETE here, got PUT");
    expect((await http.send("HEAD", "/api/v1/yard")).status).toBe(200);
    expect((await http.send("GET", "/api/v1/trees/%E0%A4%A")).status).toBe(400);
  });

  test("a fault of ours is logged and not shown", async () => {
    await open();
    http.watch.yardView = () => {
      throw new Error("secret inside");
    };
    const { status, body } = await http.get("/yard");
    expect([status, body.detail]).toEqual([
      500,
      "request requires a server without faults; the log says more",
    ]);
    const [line] = http.rig.log.lines;
    expect(line).toMatchObject({ level: "error", event: "request failed" });
    expect(line!.fields["problem"]).toContain("secret inside");
  });

  test("a store that fails says so", async () => {
    await open();
    http.rig.sqlite.pragma("query_only = ON");
    const { status, body } = await http.post("/trees", { label: "Gate" });
    expect([status, body.detail]).toEqual([
      503,
      "database requires write access, got none at the data folder",
    ]);
  });

  test("every answer says to load nothing from elsewhere, and none names the program behind", async () => {
    await open();
    for (const path of ["/api/v1/yard", "/", "/nowhere"]) {
      const { headers } = await http.send("GET", path);
      expect(headers.get("content-security-policy")).toContain("default-src 'none'");
      expect(headers.get("content-security-policy")).not.toContain("upgrade-insecure-requests");
      expect(headers.get("strict-transport-security")).toBeNull();
      expect(headers.get("x-powered-by")).toBeNull();
      expect(headers.get("x-content-type-options")).toBe("nosniff");
    }
  });
});
