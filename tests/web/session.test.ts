// Tests what the address of a viewing link says, and who may enter.
import { expect, it } from "vitest";
import { mayEnter, visitAddress, visitFromHash } from "../../web/session.ts";

it("a viewing link's address carries its secret behind the #, where no server sees it", () => {
  const secret = `${"a".repeat(42)}_`;
  const address = new URL(visitAddress("http://yard.local:8010", secret));
  expect(address.pathname + address.search).toBe("/");
  expect(visitFromHash(address.hash)).toBe(secret);
  for (const hash of ["", "#/", "#/visit/", `#/visit/${secret}x`, `#/bucket/${secret}`]) {
    expect(visitFromHash(hash), hash).toBeUndefined();
  }
});

it("lets in who is signed in, or all where no passphrase is set", () => {
  expect(mayEnter(undefined)).toBe(false);
  expect(mayEnter({ signedIn: false, passphraseSet: true, role: null })).toBe(false);
  expect(mayEnter({ signedIn: true, passphraseSet: true, role: "viewer" })).toBe(true);
  expect(mayEnter({ signedIn: false, passphraseSet: false, role: "owner" })).toBe(true);
});
