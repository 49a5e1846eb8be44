// npm run -s sbom: the bill of materials (CycloneDX) of what runs: server, board program and page, without tools.
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { z } from "zod";

const root = fileURLToPath(new URL("../..", import.meta.url));

/** Built into the page, so that package.json counts them among the tools. */
const pagePackages = ["preact", "socket.io-client", "uplot"];

const billSchema = z.looseObject({
  metadata: z.looseObject({ component: z.looseObject({ "bom-ref": z.string() }) }),
  components: z.array(z.looseObject({ "bom-ref": z.string(), name: z.string() })),
  dependencies: z.array(z.object({ ref: z.string(), dependsOn: z.array(z.string()) })),
});
type Bill = z.infer<typeof billSchema>;
const packageSchema = z.object({
  dependencies: z.record(z.string(), z.string()),
  optionalDependencies: z.record(z.string(), z.string()),
});

/** npm's own --omit dev leaves out packages that a tool needs too: hence the whole bill, then this. */
function keepWhatRuns(bill: Bill, names: ReadonlySet<string>): Bill {
  const whole = bill.metadata.component["bom-ref"];
  const needs = new Map(bill.dependencies.map(({ ref, dependsOn }) => [ref, dependsOn]));
  const nameOf = new Map(bill.components.map((each) => [each["bom-ref"], each.name]));
  const direct = (needs.get(whole) ?? []).filter((ref) => names.has(nameOf.get(ref) ?? ""));
  const kept = new Set([whole]);
  const open = [...direct];
  for (let ref = open.pop(); ref !== undefined; ref = open.pop()) {
    if (kept.has(ref)) continue;
    kept.add(ref);
    open.push(...(needs.get(ref) ?? []));
  }
  return {
    ...bill,
    components: bill.components.filter((each) => kept.has(each["bom-ref"])),
    dependencies: bill.dependencies
      .filter(({ ref }) => kept.has(ref))
      .map(({ ref, dependsOn }) => ({ ref, dependsOn: ref === whole ? direct : dependsOn })),
  };
}

const own = packageSchema.parse(JSON.parse(readFileSync(`${root}/package.json`, "utf8")));
const runs = [own.dependencies, own.optionalDependencies].flatMap((each) => Object.keys(each));

const names = new Set([...runs, ...pagePackages]);
const text = execFileSync("npm", ["sbom", "--sbom-format", "cyclonedx"], {
  cwd: root,
  encoding: "utf8",
  maxBuffer: 64 * 2 ** 20,
});
console.log(JSON.stringify(keepWhatRuns(billSchema.parse(JSON.parse(text)), names), null, 2));
