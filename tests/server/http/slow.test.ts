// Tests that half a request, an answer nobody takes, and too many connections end, while others are served.
import { once } from "node:events";
import { connect, type Socket } from "node:net";
import { afterEach, expect, it } from "vitest";
import { createWebServer, type WebLimits } from "../../../server/http/web-server.ts";
import { createTestLog } from "../../helpers/store-rig.ts";

const undoing: (() => unknown)[] = [];
afterEach(async () => {
  for (const undo of undoing.splice(0).reverse()) await undo();
});

const patient: WebLimits = {
  most: 50,
  mostFromOne: 40,
  headMs: 60_000,
  requestMs: 60_000,
  silenceMs: 60_000,
};

async function serve(limits: Partial<WebLimits>) {
  const log = createTestLog();
  const web = createWebServer({
    config: { httpHost: "127.0.0.1", httpPort: 0 },
    tls: undefined,
    log,
    onceAMinute: (_key, write) => write(0),
    limits: { ...patient, ...limits },
  });
  web.server.on("request", (request, response) => {
    request.resume();
    // More than the sockets between take, so that the rest waits for who reads.
    if (request.url === "/long") response.end(Buffer.alloc(30_000_000));
    else request.on("end", () => response.end("well"));
  });
  await web.listen();
  undoing.push(() => web.close());
  return { url: web.url(), log };
}

async function open(
  url: string,
  text: string,
): Promise<{ socket: Socket; ended: Promise<unknown> }> {
  const socket = connect(Number(new URL(url).port), "127.0.0.1");
  socket.on("error", () => undefined);
  const ended = once(socket, "close");
  await once(socket, "connect");
  socket.write(text);
  return { socket, ended };
}

const wellFrom = async (url: string) => (await fetch(url)).text();

it("half the head of a request is not waited for, nor half its body", async () => {
  const { url } = await serve({ headMs: 300, requestMs: 600 });
  const head = await open(url, "GET / HTTP/1.1\r\nHost: ");
  const body = await open(url, "POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 100\r\n\r\nhalf");
  for (const { socket } of [head, body]) socket.resume();
  expect(await wellFrom(url)).toBe("well");
  await Promise.all([head.ended, body.ended]);
  expect(await wellFrom(url)).toBe("well");
});

it("an answer that nobody takes is given up", async () => {
  const { url } = await serve({ silenceMs: 400 });
  const { socket } = await open(url, "GET /long HTTP/1.1\r\nHost: x\r\n\r\n");
  expect(await wellFrom(url)).toBe("well");
  await new Promise((resolve) => setTimeout(resolve, 1000));
  let bytes = 0;
  socket.on("data", (chunk: Buffer) => {
    bytes += chunk.length;
  });
  await once(socket, "close");
  expect(bytes).toBeLessThan(30_000_000);
});

it("one address holds no more connections than it may, and others are let in again as they end", async () => {
  const { url, log } = await serve({ mostFromOne: 10 });
  const held = await Promise.all(Array.from({ length: 10 }, () => open(url, "")));
  await expect(fetch(url)).rejects.toThrow();
  expect(log.lines).toMatchObject([{ event: "connection refused, too many are open" }]);
  for (const { socket } of held) socket.destroy();
  await expect.poll(() => wellFrom(url).catch(() => "")).toBe("well");
});
