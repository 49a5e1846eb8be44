// Notices to browsers with the page closed: encrypted for that browser alone, signed by this yard, and left once it is gone.
import { createPublicKey, verify } from "node:crypto";
import { afterEach, expect, test } from "vitest";
import {
  closeAll,
  episodeAt,
  minuteMs,
  openMail,
  openPost,
  openReceiver,
  person,
  status,
} from "../../helpers/notice-rig.ts";
import { readPush, subscribedBrowser } from "../../helpers/push-browser.ts";
import { startMs } from "../../helpers/store-rig.ts";

afterEach(closeAll);

const fromBase64 = (text: string) => Buffer.from(text, "base64url");

/** Ann, whose phone listens at `url`. */
function openPushed(url: string, over: Parameters<typeof openPost>[0] = {}) {
  const post = openPost(over);
  const phone = subscribedBrowser(url);
  const id = post.people.insertPerson(person);
  post.people.insertBrowser(id, { label: "Phone", subscription: phone.subscription });
  return { ...post, id, phone };
}

test("the browser's half reads the published example", () => {
  // RFC 8291 appendix A.
  const keys = {
    privateKey: fromBase64("q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94"),
    publicKey: fromBase64(
      "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4",
    ),
    auth: fromBase64("BTBZMqHH6r4Tts7J_aSIgg"),
  };
  const body = fromBase64(
    "DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxsj_Qulcy4a-fN",
  );
  expect(readPush(body, keys)).toBe("When I grow up, I want to be a watermelon");
});

test("only the browser reads it, and by the yard's key its service knows who sent it", async () => {
  const { heard, url } = await openReceiver(status(201));
  const { tell, raise, phone, settings } = openPushed(url);
  await tell(raise(episodeAt(startMs, { severity: "now" })));
  const [{ headers, bytes }] = heard as [(typeof heard)[0]];
  expect(JSON.parse(readPush(bytes, phone.keys))).toMatchObject({
    ...{ v: 1, kind: "brim", subject: "gate", severity: "now" },
    title: "Gate brims over by 16:40",
  });
  expect(bytes.includes("Gate")).toBe(false);
  expect(() => readPush(bytes, subscribedBrowser(url).keys)).toThrow();
  expect(headers).toMatchObject({ "content-encoding": "aes128gcm", urgency: "high", ttl: "43200" });
  const [, jwt = "", key = ""] = /^vapid t=(\S+), k=(\S+)$/.exec(headers.authorization ?? "") ?? [];
  expect(settings.getSetting("pushKeys")).toMatchObject({ publicKey: key });
  const [head = "", claims = "", signature = ""] = jwt.split(".");
  expect(isSignedBy(key, `${head}.${claims}`, signature)).toBe(true);
  const { aud, exp, sub } = JSON.parse(fromBase64(claims).toString());
  expect([aud, sub]).toEqual([new URL(url).origin, "https://brimful.invalid"]);
  // A day ahead at most (RFC 8292 section 2).
  expect(exp * 1000 - Date.now()).toBeLessThanOrEqual(24 * 60 * minuteMs);
});

/** ES256 (RFC 7518 section 3.4); the key as an uncompressed point. */
function isSignedBy(key: string, signed: string, signature: string): boolean {
  const point = fromBase64(key);
  const x = point.subarray(1, 33).toString("base64url");
  const y = point.subarray(33).toString("base64url");
  const publicKey = createPublicKey({ format: "jwk", key: { kty: "EC", crv: "P-256", x, y } });
  return verify(
    "sha256",
    Buffer.from(signed),
    { key: publicKey, dsaEncoding: "ieee-p1363" },
    fromBase64(signature),
  );
}

test("a push service may write to the yard's own mail address, if there is one", async () => {
  const { heard, url } = await openReceiver(status(201));
  const { email } = await openMail();
  const from = "The yard <yard@example.test>";
  const { postman, id } = openPushed(url, { email: { ...email, from } });
  await postman.test(id, "push-1");
  const [, claims = ""] = /t=[\w-]+\.([\w-]+)\./.exec(heard[0]?.headers.authorization ?? "") ?? [];
  expect(JSON.parse(fromBase64(claims).toString()).sub).toBe("mailto:yard@example.test");
});

test("words without end are cut to what a push service takes", async () => {
  const { heard, url } = await openReceiver(status(201));
  const { tell, raise, phone } = openPushed(url);
  await tell(raise(episodeAt(startMs, { text: "Gate ü ".repeat(2000) })));
  // RFC 8030 section 7.2: 4096 bytes.
  expect(heard[0]!.bytes.length).toBeLessThanOrEqual(4096);
  expect(JSON.parse(readPush(heard[0]!.bytes, phone.keys)).title).toContain("Gate ü");
});

test.each([404, 410])(
  "a browser that is gone (%i) is dropped at once, with all that waits for it, and shown",
  async (code) => {
    const { heard, url } = await openReceiver(status(503), status(code));
    const { tell, raise, people, postman, clock, id, phone } = openPushed(url);
    await tell(raise(episodeAt(startMs)));
    expect(people.listWaiting()).toMatchObject([{ channel: "push-1", count: 1 }]);
    await tell(raise(episodeAt(startMs, { subject: "well", text: "Well brims over" })));
    expect(heard).toHaveLength(2);
    expect(people.listWaiting()).toEqual([]);
    const answer = `HTTP ${code}, this browser no longer listens`;
    expect(postman.states(id)).toMatchObject([{ channel: "push-1", state: "dead", answer }]);
    expect(postman.deadChannels()).toEqual([{ name: "Ann", channel: "push-1" }]);
    clock.advance(minuteMs);
    await tell(raise(episodeAt(startMs, { subject: "spring" })));
    expect(heard, "nothing goes there any more").toHaveLength(2);
    expect((await postman.test(id, "push-1")).ok).toBe(false);
    expect(heard).toHaveLength(2);
    // The same browser again, under another address.
    const subscription = { ...phone.subscription, endpoint: `${url}/again` };
    people.insertBrowser(id, { label: "Phone", subscription });
    expect(people.findPerson(id).browsers).toMatchObject([{ id: 2, goneMs: null }]);
    expect(postman.deadChannels()).toEqual([]);
  },
);

test("a push service in trouble is asked again, one that refuses is not", async () => {
  const { heard, url } = await openReceiver(status(429), status(403));
  const { tell, raise, postman, clock, people, id } = openPushed(url);
  await tell(raise(episodeAt(startMs)));
  clock.advance(minuteMs);
  await postman.deliverDue();
  expect(heard).toHaveLength(2);
  expect(postman.states(id)).toMatchObject([{ state: "dead", answer: "HTTP 403", waiting: 0 }]);
  expect(people.findPerson(id).browsers).toMatchObject([{ goneMs: null }]);
});

test("keys that are no point of the curve are told, not thrown", async () => {
  const { heard, url } = await openReceiver(status(201));
  const post = openPost();
  const id = post.people.insertPerson(person);
  const keys = { p256dh: "A".repeat(87), auth: "A".repeat(22) };
  post.people.insertBrowser(id, { label: "Phone", subscription: { endpoint: url, keys } });
  const said = await post.postman.test(id, "push-1");
  expect(said).toEqual({ ok: false, answer: "the browser's keys can't be used" });
  expect(heard).toHaveLength(0);
});
