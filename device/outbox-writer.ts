// Puts batches at the end of the newest segment, safely on disk before they count as made.
import { type FileHandle, open } from "node:fs/promises";
import { dirname } from "node:path";
import { syncFolder } from "./durable-file.ts";
import type { Place, Segment } from "./outbox-segment.ts";

export type SegmentWriter = {
  /** Writes lines after the last good byte; on failure the file's good bytes are as before. */
  write(segment: Segment, lines: readonly string[]): Promise<Place[]>;
  close(): Promise<void>;
};

export function createSegmentWriter(): SegmentWriter {
  let file: { handle: FileHandle; path: string } | undefined;

  async function handleOf(segment: Segment): Promise<FileHandle> {
    if (file?.path === segment.path) return file.handle;
    await close();
    // Not the append mode: what a torn write left behind is cut off or written over.
    const handle = await open(segment.path, segment.bytes === 0 ? "w" : "r+");
    file = { handle, path: segment.path };
    await handle.truncate(segment.bytes);
    if (segment.bytes === 0) syncFolder(dirname(segment.path));
    return handle;
  }

  async function close(): Promise<void> {
    const closing = file?.handle;
    file = undefined;
    await closing?.close();
  }

  return {
    async write(segment, lines) {
      try {
        const handle = await handleOf(segment);
        const places = placesOf(segment.bytes, lines);
        await writeWhole(handle, Buffer.from(lines.join("")), segment.bytes);
        await handle.datasync();
        return places;
      } catch (error) {
        // Opened anew next time, which cuts off whatever part of the lines got there.
        await close().catch(() => undefined);
        throw error;
      }
    },
    close,
  };
}

function placesOf(startByte: number, lines: readonly string[]): Place[] {
  let offset = startByte;
  return lines.map((line) => {
    const bytes = Buffer.byteLength(line);
    const place = { offset, length: bytes - 1 };
    offset += bytes;
    return place;
  });
}

async function writeWhole(handle: FileHandle, bytes: Buffer, startByte: number): Promise<void> {
  let done = 0;
  while (done < bytes.length) {
    const { bytesWritten } = await handle.write(bytes, done, bytes.length - done, startByte + done);
    done += bytesWritten;
  }
}
