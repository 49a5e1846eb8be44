// The emulated Uno behind a TCP port of this machine, as a board on the network or behind a USB port.
import { createServer, type Socket } from "node:net";
import type { SoftBus } from "../../../device/link/soft-bus.ts";
import { createUno } from "./uno.ts";

/** With `resets`, each connection resets the board first, as opening a USB port does by DTR. */
export async function serveUno(settings: {
  bus: (nowMs: () => number) => SoftBus;
  speed: number;
  resets: boolean;
}) {
  const uno = createUno(settings);
  let socket: Socket | undefined;
  let pending: number[] = [];
  uno.onByte((byte) => {
    if (pending.push(byte) > 1) return;
    setImmediate(() => {
      socket?.write(Uint8Array.from(pending));
      pending = [];
    });
  });
  const server = createServer((opened) => {
    socket?.destroy();
    socket = opened;
    if (settings.resets) uno.reset();
    opened.setNoDelay(true);
    opened.on("data", (bytes) => uno.write(bytes));
    opened.on("error", () => opened.destroy());
    opened.on("close", () => {
      if (socket === opened) socket = undefined;
    });
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const address = server.address();
  const port = typeof address === "object" && address !== null ? address.port : 0;
  const cut = () => socket?.destroy();
  /** As when the board is taken away. */
  const shut = () => {
    server.close();
    cut();
  };
  const stop = () => {
    shut();
    uno.stop();
  };
  return { uno, port, cut, shut, stop };
}
