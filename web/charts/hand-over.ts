// Hands a file made on the page over to the person, as a download.

const keptMs = 10_000;

export function handOver(blob: Blob, name: string): void {
  const address = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), keptMs);
}

/** "gate-2026-03-11": fit for a file's name. */
export function fileName(...words: string[]): string {
  return words
    .join(" ")
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, "-")
    .replaceAll(/^-|-$/g, "");
}
