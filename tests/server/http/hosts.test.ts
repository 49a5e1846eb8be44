// Which hosts are this server's and which origins its own pages.
import { expect, test } from "vitest";
import { isKnownHost, isOwnOrigin } from "../../../server/http/hosts.ts";

test.each([
  ["localhost", true],
  ["localhost:8010", true],
  ["LOCALHOST", true],
  ["127.0.0.1:8010", true],
  ["192.168.1.20:8010", true],
  ["[::1]:8010", true],
  ["[fe80::1]", true],
  ["sugarhouse", true],
  ["Sugarhouse.local:8010", true],
  ["sugarhouse.local.", true],
  ["sugarhouse.elsewhere.test", false],
  ["localhost.elsewhere.test", false],
  ["elsewhere.test", false],
  ["127.0.0.1.elsewhere.test", false],
  ["elsewhere.test#localhost", false],
  ["localhost@elsewhere.test", false],
  ["", false],
  [undefined, false],
])("host %s is known: %s", (host, isKnown) => {
  expect(isKnownHost(host, ["Sugarhouse"])).toBe(isKnown);
});

test.each([
  [undefined, "localhost:8010", true],
  ["http://localhost:8010", "localhost:8010", true],
  ["https://yard.test", "yard.test", true],
  ["http://localhost:8011", "localhost:8010", false],
  ["http://elsewhere.test", "localhost:8010", false],
  ["null", "localhost:8010", false],
  ["file://", "localhost:8010", false],
  ["http://localhost:8010", undefined, false],
])("origin %s at host %s is own: %s", (origin, host, isOwn) => {
  expect(isOwnOrigin(origin, host)).toBe(isOwn);
});
