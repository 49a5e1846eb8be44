// Tests the certificate command and what page, socket and broker do with what it makes.
import { execFile, execFileSync, fork } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { Agent, type RequestOptions, request } from "node:https";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import mqtt from "mqtt";
import { io } from "socket.io-client";
import { afterAll, beforeAll, expect, it } from "vitest";
import { type App, createApp } from "../../server/app.ts";
import { createBackUp } from "../../server/care/backup-program.ts";
import { parseConfig } from "../../server/config.ts";
import { openSqlite } from "../../server/db/sqlite.ts";
import { createTestClock, createTestLog, packText } from "../helpers/store-rig.ts";

const run = promisify(execFile);
const command = (name: string) =>
  new URL(`../../server/commands/${name}.ts`, import.meta.url).pathname;
let folder: string;
let app: App;
let ca: Buffer;
const clock = createTestClock();
const made = (name: string) => join(folder, "certificate", name);

function runCommand(name: string, args: string[], input = "") {
  const env = { PATH: process.env["PATH"], BRIMFUL_DATA: folder };
  const ran = run(process.execPath, ["--import", "tsx", command(name), ...args], { env });
  ran.child.stdin?.end(input);
  return ran;
}

function open(over: Record<string, string> = {}): App {
  const config = parseConfig({
    BRIMFUL_DATA: folder,
    BRIMFUL_HTTP_PORT: "0",
    BRIMFUL_MQTT_PORT: "0",
    BRIMFUL_TLS_CERT: made("server.crt"),
    BRIMFUL_TLS_KEY: made("server.key"),
    ...over,
  });
  if (!config.ok) throw new Error(config.problem);
  const parts = { config: config.value, clock, log: createTestLog(), webFolder: folder };
  return createApp({ ...parts, backUp: createBackUp([]), version: "0.0.0" });
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "brimful-tls-"));
  await runCommand("certificate", ["sap.example", "192.0.2.7"]);
  await runCommand("passphrase", [], "sap runs at noon\n");
  ca = readFileSync(made("authority.crt"));
  app = open();
  await app.start();
}, 60_000);
afterAll(async () => {
  await app.stop();
  rmSync(folder, { recursive: true });
});

type Answer = { status: number; cookie: string; text: string };

function ask(path: string, { body, ...options }: RequestOptions & { body?: string } = {}) {
  return new Promise<Answer>((resolve, reject) => {
    const sent = request(
      `${app.httpUrl()}${path}`,
      { ca, agent: new Agent(), ...options },
      (got) => {
        let text = "";
        got.on("data", (bytes: Buffer) => {
          text += bytes.toString();
        });
        got.on("end", () =>
          resolve({
            status: got.statusCode ?? 0,
            cookie: got.headers["set-cookie"]?.[0] ?? "",
            text,
          }),
        );
      },
    );
    sent.on("error", reject);
    sent.end(body);
  });
}

const signIn = () =>
  ask("/api/v1/session", {
    method: "POST",
    headers: { "content-type": "application/json", origin: app.httpUrl() },
    body: '{"passphrase":"sap runs at noon"}',
  });

it("the certificate is for this machine and the names given, and its authority signs no other", () => {
  const text = execFileSync("openssl", ["x509", "-in", made("server.crt"), "-noout", "-text"], {
    encoding: "utf8",
  });
  for (const name of ["DNS:localhost", "DNS:sap.example", "IP Address:192.0.2.7", "127.0.0.1"]) {
    expect(text).toContain(name);
  }
  const verify = ["verify", "-CAfile", made("authority.crt"), made("server.crt")];
  expect(execFileSync("openssl", verify, { encoding: "utf8" })).toContain("OK");
  expect(readdirSync(join(folder, "certificate")).sort()).toEqual([
    "authority.crt",
    "server.crt",
    "server.key",
  ]);
  expect(statSync(made("server.key")).mode & 0o777).toBe(0o600);
});

it("the page is served by TLS to who trusts the authority, and to nobody by plain HTTP", async () => {
  expect(app.httpUrl()).toMatch(/^https:/);
  expect((await ask("/healthz")).status).toBe(200);
  await expect(ask("/healthz", { ca: [] })).rejects.toThrow(/certificate/);
  await expect(fetch(`${app.httpUrl().replace("https", "http")}/healthz`)).rejects.toThrow();
});

it("a session's cookie is sent by TLS alone, and opens the socket", async () => {
  const { status, cookie } = await signIn();
  expect(status).toBe(200);
  expect(cookie).toMatch(/; HttpOnly; Secure; SameSite=Strict$/);
  const page = io(app.httpUrl(), {
    ca: ca.toString(),
    transports: ["websocket"],
    reconnection: false,
    extraHeaders: { cookie: cookie.split(";")[0] ?? "", origin: app.httpUrl() },
  });
  const view = await new Promise<{ nowMs: number }>((resolve, reject) => {
    page.once("yard", resolve);
    page.once("connect_error", reject);
  });
  expect(view.nowMs).toBe(clock.nowMs());
  page.disconnect();
});

it("a page of plain HTTP that claims the same name is another's", async () => {
  const { status } = await ask("/api/v1/session", {
    method: "POST",
    headers: {
      "content-type": "application/json",
      origin: app.httpUrl().replace("https", "http"),
    },
    body: '{"passphrase":"sap runs at noon"}',
  });
  expect(status).toBe(403);
});

it("the broker speaks TLS with the same certificate", async () => {
  expect(app.mqttUrl()).toMatch(/^mqtts:/);
  const board = await mqtt.connectAsync(app.mqttUrl(), { ca, reconnectPeriod: 0 });
  await board.publishAsync("brimful/1/hill/readings", packText({ batch: 1 }), { qos: 1 });
  await board.endAsync();
  const untrusting = mqtt.connectAsync(app.mqttUrl(), { reconnectPeriod: 0 }, false);
  await expect(untrusting).rejects.toThrow(/certificate/);
  const plain = app.mqttUrl().replace("mqtts", "mqtt");
  await expect(
    mqtt.connectAsync(plain, { reconnectPeriod: 0, connectTimeout: 2000 }, false),
  ).rejects.toThrow();
});

it("the board program trusts the authority that Node is told of", async () => {
  const child = fork(new URL("../../device/main.ts", import.meta.url), ["--simulated"], {
    execArgv: ["--import", "tsx"],
    env: {
      PATH: process.env["PATH"],
      NODE_EXTRA_CA_CERTS: made("authority.crt"),
      BRIMFUL_MQTT_URL: app.mqttUrl(),
      BRIMFUL_BOARD_DATA: join(folder, "board"),
    },
    silent: true,
  });
  const store = openSqlite(join(folder, "brimful.db"), { readonly: true });
  const online = store.prepare("SELECT count(*) FROM board WHERE online = 1").pluck();
  await expect.poll(() => online.get(), { timeout: 15_000 }).toBeGreaterThan(0);
  store.close();
  child.kill("SIGKILL");
});

it("a certificate that is none, not there, or without its key is one line", () => {
  writeFileSync(join(folder, "none.pem"), "none");
  const message = (over: Record<string, string>) => {
    try {
      open({ BRIMFUL_DATA: join(folder, "other"), ...over });
      return "opened";
    } catch (error) {
      return (error as Error).message;
    }
  };
  expect(message({ BRIMFUL_TLS_CERT: join(folder, "none.pem") })).toMatch(
    /^BRIMFUL_TLS_CERT and BRIMFUL_TLS_KEY require a certificate in PEM and its own key, got .*$/,
  );
  expect(message({ BRIMFUL_TLS_KEY: join(folder, "nowhere.pem") })).toMatch(
    /^BRIMFUL_TLS_KEY requires a file that can be read, got \S+nowhere.pem \(ENOENT\)$/,
  );
  expect(message({ BRIMFUL_TLS_KEY: "" })).toBe(
    "BRIMFUL_TLS_CERT requires BRIMFUL_TLS_KEY beside it, got none",
  );
});

it("the server knows when its certificate ends", async () => {
  const { cookie } = await signIn();
  const { status, text } = await ask("/api/v1/care", { headers: { cookie } });
  expect(status).toBe(200);
  const { certificateUntilMs } = JSON.parse(text) as { certificateUntilMs: number };
  const days = (certificateUntilMs - Date.now()) / 86_400_000;
  expect(days).toBeGreaterThan(818);
  expect(days).toBeLessThan(821);
});
