// Writes a small file so that a power cut leaves the old one or the new one, never half of one.
import { closeSync, fsyncSync, openSync, renameSync, writeSync } from "node:fs";
import { dirname } from "node:path";

/** On the disk when this returns. Throws what the file system throws. */
export function replaceFile(path: string, text: string): void {
  const file = openSync(`${path}.new`, "w");
  try {
    writeSync(file, text);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
  renameSync(`${path}.new`, path);
  syncFolder(dirname(path));
}

/** Makes names given in a folder survive a power cut. */
export function syncFolder(folder: string): void {
  const file = openSync(folder, "r");
  try {
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}
