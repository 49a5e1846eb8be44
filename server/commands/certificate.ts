// npm run certificate [-- NAME...]: a certificate for page and broker, and the authority that phones are told to trust.
import { execFileSync } from "node:child_process";
import { chmodSync, mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { isIP } from "node:net";
import { hostname, networkInterfaces } from "node:os";
import { join, resolve } from "node:path";
import { parseArgs } from "node:util";
import { AppError } from "../../shared/errors.ts";
import { isHost, parseConfig } from "../config.ts";
import { makeFolder } from "../db/open.ts";

/** Some phones refuse one that holds longer than 825 days (Apple, iOS 13 and later; from memory). */
const days = "820";
const newKey = ["-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes"];

/** What this machine answers to on its network, and what a person adds. */
function namesOf(given: string[]): string[] {
  for (const name of given) {
    if (isHost(name)) continue;
    throw new AppError("config", `certificate requires host names or addresses, got "${name}"`);
  }
  const addresses = Object.values(networkInterfaces())
    .flatMap((each) => each ?? [])
    .filter(({ family, internal }) => family === "IPv4" || internal)
    .map(({ address }) => address);
  return [...new Set([hostname(), `${hostname()}.local`, "localhost", ...addresses, ...given])];
}

/**
 * The authority's key signs this one certificate and is thrown away: nobody can ever make another
 * that the phones would trust.
 */
function make(folder: string, names: string[]): void {
  const work = mkdtempSync(join(folder, "making-"));
  const at = (name: string) => join(work, name);
  try {
    const authority = ["-subj", `/CN=Brimful of ${hostname()}`.slice(0, 60), "-days", days];
    const mayOnlySign = [
      "keyUsage=critical,keyCertSign",
      "basicConstraints=critical,CA:TRUE,pathlen:0",
    ];
    const extensions = mayOnlySign.flatMap((text) => ["-addext", text]);
    const files = ["-keyout", at("authority.key"), "-out", at("authority.crt")];
    openssl("req", "-x509", ...newKey, ...authority, ...extensions, ...files);
    const request = ["-subj", `/CN=${hostname()}`.slice(0, 60), "-keyout", at("server.key")];
    openssl("req", ...newKey, ...request, "-out", at("server.csr"));
    writeFileSync(at("names"), extensionsFor(names));
    const signer = ["-CA", at("authority.crt"), "-CAkey", at("authority.key"), "-CAcreateserial"];
    const signed = ["-days", days, "-extfile", at("names"), "-out", at("server.crt")];
    openssl("x509", "-req", "-in", at("server.csr"), ...signer, ...signed);
    chmodSync(at("server.key"), 0o600);
    for (const name of ["authority.crt", "server.crt", "server.key"]) {
      renameSync(at(name), join(folder, name));
    }
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}

function extensionsFor(names: string[]): string {
  const alternatives = names.map((name) => `${isIP(name) === 0 ? "DNS" : "IP"}:${name}`);
  return [
    "basicConstraints=critical,CA:FALSE",
    "keyUsage=critical,digitalSignature",
    "extendedKeyUsage=serverAuth",
    "subjectKeyIdentifier=hash",
    "authorityKeyIdentifier=keyid",
    `subjectAltName=${alternatives.join(",")}`,
  ].join("\n");
}

function openssl(...args: string[]): void {
  try {
    execFileSync("openssl", args, { stdio: ["ignore", "ignore", "pipe"] });
  } catch (cause) {
    const { code, stderr } = cause as { code?: string; stderr?: Buffer };
    const text =
      code === "ENOENT"
        ? "certificate requires openssl, got none; install it with: sudo apt install openssl"
        : `certificate requires openssl to do its work, got: ${stderr?.toString().trim()}`;
    throw new AppError("config", text, { cause });
  }
}

function main(): void {
  const { positionals } = parseArgs({ args: process.argv.slice(2), allowPositionals: true });
  const config = parseConfig(process.env);
  if (!config.ok) throw new AppError("config", config.problem);
  const folder = resolve(makeFolder(config.value.dataFolder), "certificate");
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const names = namesOf(positionals);
  make(folder, names);
  console.log(`Made for ${names.join(", ")}; it holds for ${days} days.`);
  console.log("Start the server with it:");
  console.log(
    `  BRIMFUL_TLS_CERT=${folder}/server.crt BRIMFUL_TLS_KEY=${folder}/server.key npm start`,
  );
  console.log(`Phones and boards trust it by ${folder}/authority.crt; the README tells how.`);
}

try {
  main();
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 1;
}
