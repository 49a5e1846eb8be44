// Keeps one address, and all together, from holding so many connections that others find no room.
import type { Server, Socket } from "node:net";

export type ConnectionLimits = { most: number; mostFromOne: number };

/** Ends what comes beyond the limits at once, and tells from where it came. */
export function limitConnections(
  server: Server,
  { most, mostFromOne }: ConnectionLimits,
  onRefused: (address: string) => void,
): void {
  const countFrom = new Map<string, number>();
  let count = 0;
  const add = (address: string, by: number) => {
    count += by;
    const from = (countFrom.get(address) ?? 0) + by;
    if (from === 0) countFrom.delete(address);
    else countFrom.set(address, from);
  };
  server.on("connection", (socket: Socket) => {
    const address = socket.remoteAddress ?? "unknown";
    if (count >= most || (countFrom.get(address) ?? 0) >= mostFromOne) {
      onRefused(address);
      socket.destroy();
      return;
    }
    add(address, 1);
    socket.once("close", () => add(address, -1));
  });
}
