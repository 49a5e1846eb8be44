// What a power cut does to files: bytes that were not yet synced are missing, noughts, or something else.
import {
  appendFileSync,
  existsSync,
  readdirSync,
  readFileSync,
  statSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";

type Random = () => number;

/**
 * The end of an outbox after its last batch that was safely on disk: what lies there is torn off at
 * any byte or turned into noughts, and where nothing lies, half a line is put there.
 */
export function tearOutbox(folder: string, safeBatch: number, random: Random): string {
  const newest = readdirSync(folder)
    .filter((name) => name.endsWith(".ndjson"))
    .sort()
    .at(-1);
  if (newest === undefined) return "nothing to tear";
  const path = join(folder, newest);
  const bytes = readFileSync(path);
  const safe = endOfBatch(bytes, Number(newest.slice(0, 12)), safeBatch);
  const at = safe + Math.floor(random() * (bytes.length - safe));
  if (bytes.length === safe) {
    appendFileSync(path, '{"sum":"0123456789abcdef","of":{"batch":');
    return "half a line added";
  }
  if (random() < 0.5) truncateSync(path, at);
  else writeFileSync(path, Buffer.from(bytes).fill(0, at));
  return `${bytes.length - at} bytes torn`;
}

/** Where the line of a batch ends; the whole file counts as safe when it doesn't hold that batch. */
function endOfBatch(bytes: Buffer, first: number, batch: number): number {
  let end = 0;
  for (let line = first; line <= batch; line += 1) {
    const next = bytes.indexOf(0x0a, end);
    if (next === -1) return bytes.length;
    end = next + 1;
  }
  return end;
}

const headerBytes = 32;
const frameHeadBytes = 24;

/**
 * The end of a write-ahead log (SQLite, "WAL-mode File Format", sections 2.1 and 2.2): cut off at
 * any byte, noughts from there on, or one byte turned, within the newest frames that are not in the
 * database yet. What was committed there is gone, as on a disk that says too early that all is safe.
 */
export function tearLog(storeFile: string, random: Random): string {
  const path = `${storeFile}-wal`;
  if (!existsSync(path) || statSync(path).size <= headerBytes) return "nothing to tear";
  const bytes = readFileSync(path);
  const frameBytes = frameHeadBytes + bytes.readUInt32BE(8);
  const frames = framesOfThisRound(bytes, frameBytes);
  const first = Math.max(copiedFrames(storeFile), frames - 20);
  if (first >= frames) return "nothing to tear";
  const from = headerBytes + first * frameBytes;
  const end = headerBytes + frames * frameBytes;
  const at = from + Math.floor(random() * (end - from));
  const how = random();
  if (how < 0.4) truncateSync(path, at);
  else if (how < 0.7) writeFileSync(path, Buffer.from(bytes).fill(0, at));
  else {
    bytes[at] = (bytes[at] ?? 0) ^ 0x5a;
    writeFileSync(path, bytes);
  }
  return `${((end - at) / frameBytes).toFixed(1)} of ${frames} frames torn`;
}

/** Frames with the salt of the header; those after them are of an earlier round. */
function framesOfThisRound(bytes: Buffer, frameBytes: number): number {
  const salt = bytes.subarray(16, 24);
  let frames = 0;
  for (let at = headerBytes; at + frameBytes <= bytes.length; at += frameBytes) {
    if (!bytes.subarray(at + 8, at + 16).equals(salt)) break;
    frames += 1;
  }
  return frames;
}

/**
 * Frames that are in the database already, which SQLite syncs before it copies them: nBackfill of the
 * log's index ("WAL-Index Format", section 2.2), in the machine's own byte order.
 */
function copiedFrames(storeFile: string): number {
  const index = `${storeFile}-shm`;
  return existsSync(index) ? readFileSync(index).readUInt32LE(96) : Number.POSITIVE_INFINITY;
}
