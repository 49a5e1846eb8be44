// The socket with real pages on it: whole on connecting, then changes; shut to strangers.
import { connect as connectTcp, type Socket as TcpSocket } from "node:net";
import { io, type Socket } from "socket.io-client";
import { afterEach, beforeEach, expect, test } from "vitest";
import { createLive, type Live } from "../../../server/live/live.ts";
import type { YardView } from "../../../shared/wire/api.ts";
import type { ServerToPage, YardChange } from "../../../shared/wire/live.ts";
import { bucketView, type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";

type Page = Socket<ServerToPage>;

let http: HttpRig;
let live: Live;
let pages: Page[];

async function open(hasPassphrase = false) {
  http = await openHttpRig({ hasPassphrase, onSignedOut: (hash) => live.signOut(hash) });
  live = createLive({ ...http, httpServer: http.server, restMs: 20 });
  live.start();
}

beforeEach(() => {
  pages = [];
});
afterEach(async () => {
  for (const page of pages) page.close();
  await live.stop();
  await live.stop();
  await http.close();
});

function openPage(options: { transports?: string[]; extraHeaders?: Record<string, string> } = {}) {
  const page: Page = io(http.url, { forceNew: true, reconnection: false, ...options });
  pages.push(page);
  return page;
}

const wholeOf = (page: Page) => new Promise<YardView>((resolve) => page.once("yard", resolve));
const changeOf = (page: Page) => new Promise<YardChange>((resolve) => page.once("change", resolve));
const refusalOf = (page: Page) =>
  new Promise<string>((resolve, reject) => {
    page.once("connect_error", (error) => resolve(error.message));
    page.once("connect", () => reject(new Error("was let in")));
  });

test("a page gets the yard whole, then what changed, over polling and WebSocket", async () => {
  await open();
  http.view.buckets.push(bucketView("gate"));
  for (const transports of [["websocket"], ["polling"], ["polling", "websocket"]]) {
    const page = openPage({ transports });
    expect(await wholeOf(page)).toMatchObject({ buckets: [{ id: "gate" }] });
    const change = changeOf(page);
    http.change({ nowMs: 5, buckets: [bucketView("gate", { volumeL: 9 })] });
    expect(await change).toEqual({ nowMs: 5, buckets: [bucketView("gate", { volumeL: 9 })] });
    page.close();
  }
});

test("a burst reaches every page, the last of it always, in few messages", async () => {
  await open();
  const seen = await Promise.all(
    [1, 2, 3].map(async () => {
      const page = openPage({ transports: ["websocket"] });
      await wholeOf(page);
      const changes: YardChange[] = [];
      const done = new Promise<void>((resolve) => {
        page.on("change", (change) => {
          changes.push(change);
          if (change.nowMs === 300) resolve();
        });
      });
      return { changes, done };
    }),
  );
  for (let nowMs = 1; nowMs <= 300; nowMs += 1) http.change({ nowMs });
  await Promise.all(seen.map(({ done }) => done));
  for (const { changes } of seen) expect(changes.map(({ nowMs }) => nowMs)).toEqual([1, 300]);
});

test("a page that stops reading makes the server keep one change, not all of them", async () => {
  await open();
  const stuck = connectTcp(http.port, "127.0.0.1");
  stuck.write(
    "GET /socket.io/?EIO=4&transport=websocket HTTP/1.1\r\n" +
      `Host: 127.0.0.1:${http.port}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n` +
      "Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n",
  );
  await heard(stuck, '0{"sid"');
  // A masked text frame with the two characters "40": connect to the namespace /.
  stuck.write(Buffer.from([0x81, 0x82, 0, 0, 0, 0, 0x34, 0x30]));
  await heard(stuck, '42["yard"');
  stuck.pause();
  const healthy = openPage({ transports: ["websocket"] });
  await wholeOf(healthy);
  const sentence = "x".repeat(200_000);
  const rounds = 100;
  for (let nowMs = 1; nowMs <= rounds; nowMs += 1) {
    const next = changeOf(healthy);
    http.change({ nowMs, doNow: { sentence, parts: [] } });
    expect((await next).nowMs).toBe(nowMs);
  }
  const lateBytes = await heard(stuck, `42["change",{"nowMs":${rounds},`);
  // What lay in the kernel's buffers, far less than the 20 MB that were said.
  expect(lateBytes).toBeLessThan(0.5 * rounds * sentence.length);
  stuck.destroy();
});

/** Reads until the text came; how many bytes that took. */
function heard(socket: TcpSocket, text: string): Promise<number> {
  return new Promise((resolve) => {
    let bytes = 0;
    let tail = "";
    const listen = (chunk: Buffer) => {
      bytes += chunk.length;
      tail = tail.slice(-text.length) + chunk.toString("latin1");
      if (!tail.includes(text)) return;
      socket.off("data", listen);
      resolve(bytes);
    };
    socket.on("data", listen);
    socket.resume();
  });
}

test("with a passphrase only a signed-in page gets in, and signing out closes its socket", async () => {
  await open(true);
  expect(await refusalOf(openPage({ transports: ["websocket"] }))).toBe("websocket error");
  expect(await refusalOf(openPage({ transports: ["polling"] }))).toBe("xhr poll error");
  const cookie = `brimful_session=${http.signIn.begin()}`;
  const page = openPage({ transports: ["websocket"], extraHeaders: { cookie } });
  await wholeOf(page);
  const closed = new Promise((resolve) => page.once("disconnect", resolve));
  expect((await http.del("/session", { cookie })).status).toBe(204);
  expect(await closed).toBe("io server disconnect");
  const again = openPage({ transports: ["websocket"], extraHeaders: { cookie } });
  expect(await refusalOf(again)).toBe("websocket error");
});

test("a page of another site and another host's name are refused", async () => {
  await open();
  for (const extraHeaders of [
    { origin: "http://elsewhere.test" },
    { host: "elsewhere.test" },
    { origin: "null" },
  ]) {
    const page = openPage({ transports: ["websocket"], extraHeaders });
    expect(await refusalOf(page)).toBe("websocket error");
  }
  const own = openPage({ transports: ["websocket"], extraHeaders: { origin: http.url } });
  await wholeOf(own);
});

test("a page that sends too much is cut off and the others stay", async () => {
  await open();
  const other = openPage({ transports: ["websocket"] });
  await wholeOf(other);
  const page = openPage({ transports: ["websocket"] });
  await wholeOf(page);
  const closed = new Promise((resolve) => page.once("disconnect", resolve));
  (page as Socket).emit("anything", "x".repeat(10_000));
  await closed;
  const change = changeOf(other);
  http.change({ nowMs: 7 });
  expect((await change).nowMs).toBe(7);
});

test("after the last page has gone nothing listens for it", async () => {
  await open();
  expect(http.listeners.size).toBe(1);
  await live.stop();
  expect(http.listeners.size).toBe(0);
});

test("a session that ended elsewhere shuts its page out at once, with nothing to send", async () => {
  let isSet = false;
  http = await openHttpRig({ isPassphraseSet: () => isSet });
  live = createLive({ ...http, httpServer: http.server, restMs: 20 });
  live.start();
  const page = openPage();
  await wholeOf(page);
  live.endShutOut();
  const left = new Promise<string>((resolve) => page.once("disconnect", resolve));
  expect(page.connected).toBe(true);
  isSet = true;
  live.endShutOut();
  expect(await left).toBe("io server disconnect");
});

test("a passphrase that is set meanwhile shuts an open page out", async () => {
  let isSet = false;
  http = await openHttpRig({ isPassphraseSet: () => isSet });
  live = createLive({ ...http, httpServer: http.server, restMs: 20 });
  live.start();
  const page = openPage();
  await wholeOf(page);
  const left = new Promise<string>((resolve) => page.once("disconnect", resolve));
  const heard: YardChange[] = [];
  page.on("change", (change) => heard.push(change));
  isSet = true;
  http.change({ nowMs: 5 });
  expect(await left).toBe("io server disconnect");
  expect(heard).toEqual([]);
});

test("a page beyond the most is refused, and let in once another has gone", async () => {
  http = await openHttpRig();
  live = createLive({ ...http, httpServer: http.server, restMs: 20, mostPages: 2 });
  live.start();
  const [first] = [openPage(), openPage()];
  await Promise.all(pages.map(wholeOf));
  expect(await refusalOf(openPage({ transports: ["websocket"] }))).not.toBe("");
  first.close();
  const isLetIn = () =>
    new Promise<boolean>((resolve) => {
      const page = openPage({ transports: ["websocket"] });
      page.once("connect", () => resolve(true));
      page.once("connect_error", () => resolve(false));
    });
  await expect.poll(isLetIn).toBe(true);
});
