// Keeps secrets out of what is shown and logged.

const mostShown = 300;

/** The text in one line of at most 300 characters, with every secret in it blotted out. */
export function withoutSecrets(text: string, secrets: string[]): string {
  const blotted = secrets
    .filter((secret) => secret !== "")
    .reduce((rest, secret) => rest.replaceAll(secret, "…"), text);
  return blotted.replace(/\s+/g, " ").trim().slice(0, mostShown);
}
