// A certificate for this machine and the authority to trust it by, as the program's own command makes them.
import { execFile } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";

const command = fileURLToPath(new URL("../../server/commands/certificate.ts", import.meta.url));

export async function makeCertificate() {
  const folder = mkdtempSync(join(tmpdir(), "brimful-certificate-"));
  const env = { PATH: process.env["PATH"], BRIMFUL_DATA: folder };
  await promisify(execFile)(process.execPath, ["--import", "tsx", command], { env });
  const at = (name: string) => join(folder, "certificate", name);
  return {
    authorityFile: at("authority.crt"),
    cert: readFileSync(at("server.crt")),
    key: readFileSync(at("server.key")),
    remove: () => rmSync(folder, { recursive: true }),
  };
}
