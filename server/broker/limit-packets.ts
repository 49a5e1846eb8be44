// Closes a connection whose packets would fill the memory: MQTT allows 256 MB a packet.
import type { Socket } from "node:net";

/** Far above the largest payload that is looked at, so that those are refused with a word. */
export const mostPacketBytes = 4 * 2 ** 20;

/** Watches the lengths in the fixed headers (MQTT 3.1.1 section 2.2.3) as the broker reads. */
export function limitPackets(socket: Socket, onTooLong: () => void): void {
  const read = socket.read.bind(socket);
  const isTooLong = createLengthWatch();
  socket.read = (size?: number) => {
    const chunk = read(size) as Buffer | null;
    if (chunk === null || !isTooLong(chunk)) return chunk;
    onTooLong();
    socket.destroy();
    return null;
  };
}

/** A function that takes the stream chunk by chunk and says whether a packet in it is too long. */
export function createLengthWatch(): (chunk: Uint8Array) => boolean {
  let restBytes = 0;
  let lengthBytes = -1;
  let length = 0;
  const take = (byte: number) => {
    if (lengthBytes < 0) {
      lengthBytes = 0;
      length = 0;
      return;
    }
    length += (byte & 127) * 128 ** lengthBytes;
    lengthBytes += 1;
    if (byte < 128 || lengthBytes === 4) {
      restBytes = length;
      lengthBytes = -1;
    }
  };
  return (chunk) => {
    let at = 0;
    while (at < chunk.length) {
      if (restBytes > 0) {
        const step = Math.min(restBytes, chunk.length - at);
        restBytes -= step;
        at += step;
      } else {
        take(chunk[at] ?? 0);
        at += 1;
        if (restBytes > mostPacketBytes) return true;
      }
    }
    return false;
  };
}
