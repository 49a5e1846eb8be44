// Tests that every package the program runs with is listed with its reason, and in the bill of materials.
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { expect, it } from "vitest";

const root = new URL("../../../", import.meta.url);
const read = (name: string) => readFileSync(new URL(name, root), "utf8");
const { dependencies, optionalDependencies } = JSON.parse(read("package.json")) as Record<
  "dependencies" | "optionalDependencies",
  Record<string, string>
>;

it("every runtime dependency has its reason in DEVELOPERS.md", () => {
  const reasons = read("DEVELOPERS.md").split("## Runtime dependencies")[1] ?? "";
  const rows = reasons.split("\n").filter((line) => line.startsWith("|"));
  const words = rows.map((row) => row.split("|")[1] ?? "").join(" ");
  for (const name of Object.keys(dependencies)) {
    expect(words.split(/[ ,]+/), name).toContain(name);
  }
  expect(Object.keys(optionalDependencies)).toEqual(["better-sqlite3", "better-sqlite3-13"]);
  expect(words).toContain("better-sqlite3 (12 and 13)");
});

it("the bill of materials names each of them, and nothing that only the work needs", () => {
  const text = execFileSync("npm", ["run", "-s", "sbom"], { cwd: root, encoding: "utf8" });
  const bill = JSON.parse(text) as { bomFormat: string; components: { name: string }[] };
  expect(bill.bomFormat).toBe("CycloneDX");
  const names = new Set(bill.components.map(({ name }) => name));
  const page = ["preact", "socket.io-client", "uplot"];
  for (const name of [...Object.keys(dependencies), ...page]) expect(names).toContain(name);
  expect(names).toContain("better-sqlite3");
  for (const name of ["vitest", "playwright-core"]) expect(names).not.toContain(name);
}, 60_000);
