// Hashes and checks secrets with scrypt, one at a time, so that a storm of attempts can't take the machine.
import { createHmac, randomBytes, scrypt, timingSafeEqual } from "node:crypto";

export type SecretHash = { salt: string; hash: string };

// N=2^15, r=8: 32 MiB and about 0.2 s on a small computer; Node's own bound on memory is 32 MiB exclusive.
const cost = { N: 2 ** 15, r: 8, p: 1, maxmem: 64 * 2 ** 20 };
const hashBytes = 32;

let last: Promise<unknown> = Promise.resolve();

function derive(secret: string, salt: string): Promise<Buffer> {
  const mine = last.then(
    () =>
      new Promise<Buffer>((resolve, reject) => {
        scrypt(
          secret.normalize("NFC"),
          Buffer.from(salt, "base64"),
          hashBytes,
          cost,
          (error, key) => {
            if (error === null) resolve(key);
            else reject(error);
          },
        );
      }),
  );
  last = mine.catch(() => undefined);
  return mine;
}

export async function hashSecret(secret: string): Promise<SecretHash> {
  const salt = randomBytes(16).toString("base64");
  return { salt, hash: (await derive(secret, salt)).toString("base64") };
}

export async function isSecret(secret: string, { salt, hash }: SecretHash): Promise<boolean> {
  const expected = Buffer.from(hash, "base64");
  const got = await derive(secret, salt);
  return expected.length === got.length && timingSafeEqual(expected, got);
}

/** A random secret of 160 bits, as text that fits a command line and a settings file. */
export function makeSecret(): string {
  return randomBytes(20).toString("base64url");
}

const mostRemembered = 10_000;
const mostWaiting = 32;

/**
 * Checks secrets and remembers those that were right, by a keyed hash of secret and stored hash:
 * boards that all come back at once cost no scrypt, and a new secret is never taken for the old.
 * When too many unknown ones wait, further ones are refused at once.
 */
export function createSecretCheck(): (secret: string, stored: SecretHash) => Promise<boolean> {
  const key = randomBytes(32);
  const right = new Set<string>();
  let waiting = 0;
  return async (secret, stored) => {
    const id = createHmac("sha256", key).update(`${stored.hash} ${secret}`).digest("base64");
    if (right.has(id)) return true;
    if (waiting >= mostWaiting) return false;
    waiting += 1;
    try {
      const isRight = await isSecret(secret, stored);
      if (right.size >= mostRemembered) right.clear();
      if (isRight) right.add(id);
      return isRight;
    } finally {
      waiting -= 1;
    }
  };
}
