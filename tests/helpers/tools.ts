// Sees to the programs that tests need beyond npm: installs them where that may be done, else names the command.
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { createInterface } from "node:readline/promises";

const needed = [
  { program: "/usr/bin/chromium", debianPackage: "chromium" },
  { program: "/usr/sbin/mosquitto", debianPackage: "mosquitto" },
  { program: "/usr/bin/mosquitto_pub", debianPackage: "mosquitto-clients" },
  { program: "/usr/bin/socat", debianPackage: "socat" },
];

const missing = needed
  .filter(({ program }) => !existsSync(program))
  .map(({ debianPackage }) => debianPackage);
if (missing.length > 0) await provide(missing);

async function provide(packages: string[]): Promise<void> {
  const isRoot = process.getuid?.() === 0;
  const sudo = isRoot ? [] : ["sudo"];
  const command = [...sudo, "apt-get", "install", "-y", "--no-install-recommends", ...packages];
  if (!isRoot && process.env["CI"] !== "true" && !(await agreed(packages, command))) {
    process.stderr.write(`The tests need ${packages.join(", ")}. Run: ${command.join(" ")}\n`);
    process.exit(1);
  }
  process.stdout.write(`Installing for the tests: ${packages.join(" ")}\n`);
  if (!run([...sudo, "apt-get", "update", "-q"]) || !install(command)) {
    process.stderr.write(`Installing failed. Run: ${command.join(" ")}\n`);
    process.exit(1);
  }
}

async function agreed(packages: string[], command: string[]): Promise<boolean> {
  if (!process.stdin.isTTY) return false;
  const terminal = createInterface({ input: process.stdin, output: process.stdout });
  const answer = await terminal.question(
    `The tests need ${packages.join(", ")}. Run "${command.join(" ")}" now? [y/N] `,
  );
  terminal.close();
  return /^y(es)?$/i.test(answer.trim());
}

/** Installs without starting the services that come with the packages (policy-rc.d answers 101). */
function install(command: string[]): boolean {
  const policy = "/usr/sbin/policy-rc.d";
  const sudo = command[0] === "sudo" ? ["sudo"] : [];
  if (existsSync(policy)) return run(command);
  const write = `printf '#!/bin/sh\\nexit 101\\n' > ${policy} && chmod 755 ${policy}`;
  if (!run([...sudo, "sh", "-c", write])) return false;
  try {
    return run(command);
  } finally {
    run([...sudo, "rm", "-f", policy]);
  }
}

function run([program = "", ...parameters]: string[]): boolean {
  const done = spawnSync(program, parameters, {
    stdio: ["ignore", "inherit", "inherit"],
    env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" },
  });
  return done.status === 0;
}
