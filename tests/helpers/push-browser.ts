// A browser's half of web push: its keys, and how it reads what was encrypted for it (RFC 8188, RFC 8291).
import { createDecipheriv, createECDH, createHmac, randomBytes } from "node:crypto";

export type BrowserKeys = { privateKey: Buffer; publicKey: Buffer; auth: Buffer };

const hmac = (key: Buffer, ...parts: (Buffer | string)[]) =>
  parts.reduce((sum, part) => sum.update(part), createHmac("sha256", key)).digest();

/** What a browser makes of a message's body; throws for one that was meant for another. */
export function readPush(body: Buffer, { privateKey, publicKey, auth }: BrowserKeys): string {
  const salt = body.subarray(0, 16);
  const idLength = body.readUInt8(20);
  const sender = body.subarray(21, 21 + idLength);
  const sealed = body.subarray(21 + idLength);
  const curve = createECDH("prime256v1");
  curve.setPrivateKey(privateKey);
  // RFC 8291 section 3.4.
  const shared = hmac(auth, curve.computeSecret(sender));
  const input = hmac(shared, "WebPush: info\0", publicKey, sender, "\u0001");
  // RFC 8188 section 2.2.
  const pseudorandom = hmac(salt, input);
  const key = hmac(pseudorandom, "Content-Encoding: aes128gcm\0\u0001").subarray(0, 16);
  const nonce = hmac(pseudorandom, "Content-Encoding: nonce\0\u0001").subarray(0, 12);
  const decipher = createDecipheriv("aes-128-gcm", key, nonce);
  decipher.setAuthTag(sealed.subarray(-16));
  const padded = Buffer.concat([decipher.update(sealed.subarray(0, -16)), decipher.final()]);
  // The last record ends with 2 and zeros (RFC 8188 section 2).
  return padded.subarray(0, padded.lastIndexOf(2)).toString();
}

/** A new subscription at a push service of the test's own. */
export function subscribedBrowser(endpoint: string) {
  const curve = createECDH("prime256v1");
  const publicKey = curve.generateKeys();
  const keys: BrowserKeys = { publicKey, privateKey: curve.getPrivateKey(), auth: randomBytes(16) };
  const shown = { p256dh: publicKey.toString("base64url"), auth: keys.auth.toString("base64url") };
  return { keys, subscription: { endpoint, keys: shown } };
}
