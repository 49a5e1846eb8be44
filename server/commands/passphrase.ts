// npm run passphrase [-- --remove]: asks for the passphrase on the terminal, or reads it from the standard input.
import { createInterface } from "node:readline/promises";
import { Writable } from "node:stream";
import { text } from "node:stream/consumers";
import { parseArgs } from "node:util";
import { AppError } from "../../shared/errors.ts";
import { parseConfig } from "../config.ts";
import { openStoreBeside } from "../db/beside.ts";
import { createSessionStore } from "../db/sessions.ts";
import { createSettings } from "../db/settings.ts";
import { createPassphrase } from "../passphrase.ts";

async function askHidden(questions: string[]): Promise<string[]> {
  // readline echoes into its output: this one swallows all.
  const hidden = new Writable({ write: (_chunk, _encoding, done) => done() });
  const reader = createInterface({ input: process.stdin, output: hidden, terminal: true });
  const lines = reader[Symbol.asyncIterator]();
  const answers: string[] = [];
  for (const question of questions) {
    process.stdout.write(question);
    const { value, done } = await lines.next();
    process.stdout.write("\n");
    if (done === true) break;
    answers.push(value);
  }
  reader.close();
  return answers;
}

/** One line, or two that are the same, as they would be typed. */
function pipedAnswers(piped: string): (string | undefined)[] {
  const [first, second = first, ...more] = piped.replace(/\r?\n$/, "").split(/\r?\n/);
  if (more.length === 0) return [first, second];
  const lines = more.length + 2;
  throw new AppError("config", `passphrase requires one line, or the same twice, got ${lines}`);
}

async function readPassphrase(): Promise<string> {
  const [first, second] = process.stdin.isTTY
    ? await askHidden(["New passphrase: ", "Once more: "])
    : pipedAnswers(await text(process.stdin));
  if (first !== undefined && first === second) return first;
  throw new AppError("config", "passphrase requires the same twice, got two that differ");
}

async function main(): Promise<void> {
  const { values } = parseArgs({ options: { remove: { type: "boolean", default: false } } });
  const config = parseConfig(process.env);
  if (!config.ok) throw new AppError("config", config.problem);
  const sqlite = openStoreBeside(config.value.dataFolder);
  try {
    const passphrase = createPassphrase(createSettings(sqlite));
    if (values.remove) {
      passphrase.removePassphrase();
      console.log("The passphrase is removed: the page answers on this machine only.");
      return;
    }
    const set = await passphrase.setPassphrase(await readPassphrase());
    if (!set.ok) throw new AppError("config", set.problem);
    // Whoever came in with the one before must know the new one.
    createSessionStore(sqlite).removeAll();
    console.log("The passphrase is set.");
  } finally {
    sqlite.close();
  }
}

main().catch((error: unknown) => {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = 1;
});
