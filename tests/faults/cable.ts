// A cable between two programs that a test cuts, holds up, or leaves hanging with nobody at its other end.
import { once } from "node:events";
import { connect, createServer, type Socket } from "node:net";

export type Cable = {
  port: number;
  /** Ends every connection at once; new ones are made as before. */
  cut(): void;
  /** Nothing goes through, and all of it later. */
  hold(): void;
  release(): void;
  /** Whatever is sent from now on goes nowhere, and nobody is told, until the connections are cut. */
  swallow(): void;
  close(): Promise<void>;
};

type Pair = [Socket, Socket];

export async function layCable(toPort: number): Promise<Cable> {
  const pairs = new Set<Pair>();
  let isHeld = false;
  const server = createServer((near) => {
    const far = connect(toPort, "127.0.0.1");
    const pair: Pair = [near, far];
    pairs.add(pair);
    join(pair, { isHeld: () => isHeld, ended: () => pairs.delete(pair) });
    if (isHeld) for (const socket of pair) socket.pause();
  });
  server.listen(0, "127.0.0.1");
  await once(server, "listening");
  const address = server.address();
  const each = (act: (socket: Socket) => void) => {
    for (const pair of pairs) for (const socket of pair) act(socket);
  };
  return {
    port: typeof address === "object" && address !== null ? address.port : 0,
    cut: () => each((socket) => socket.destroy()),
    hold() {
      isHeld = true;
      each((socket) => socket.pause());
    },
    release() {
      isHeld = false;
      each((socket) => socket.resume());
    },
    swallow: () =>
      each((socket) => {
        socket.removeAllListeners("data");
        socket.on("data", () => undefined);
      }),
    async close() {
      each((socket) => socket.destroy());
      server.close();
      await once(server, "close");
    },
  };
}

function join([near, far]: Pair, on: { isHeld(): boolean; ended(): void }): void {
  for (const [from, to] of [
    [near, far],
    [far, near],
  ] as const) {
    from.setNoDelay(true);
    from.on("error", () => undefined);
    from.on("data", (bytes) => {
      if (!to.write(bytes)) from.pause();
    });
    to.on("drain", () => {
      if (!on.isHeld()) from.resume();
    });
    from.on("close", () => {
      to.destroy();
      on.ended();
    });
  }
}
