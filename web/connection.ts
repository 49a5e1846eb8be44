// The live link: hands what the server sends to the store and tells when the link is lost.
import { io } from "socket.io-client";
import type { ServerToPage } from "../shared/wire/live.ts";
import type { Store } from "./store.ts";

/** What this file needs of a socket; socket.io-client's is one. */
export type LiveSocket = {
  on<Name extends keyof ServerToPage>(name: Name, seen: ServerToPage[Name]): unknown;
  on(name: "disconnect" | "connect_error", seen: () => void): unknown;
  disconnect(): unknown;
  /** Whether it will try again by itself. */
  readonly active: boolean;
};

export type Connection = { stop(): void };

/** Opens the socket to the server the page came from. */
export function openSocket(): LiveSocket {
  const socket = io({
    transports: ["websocket", "polling"],
    tryAllTransports: true,
    reconnectionDelayMax: 5000,
  });
  return socket as unknown as LiveSocket;
}

export function startConnection(parts: {
  store: Store;
  socket: LiveSocket;
  pageMs: () => number;
  /** The server closed the door: the socket won't try again by itself. */
  refused: () => void;
}): Connection {
  const { store, socket, pageMs } = parts;
  let isStopped = false;
  socket.on("yard", (view) => store.act({ type: "yard", view, pageMs: pageMs() }));
  socket.on("change", (change) => store.act({ type: "change", change, pageMs: pageMs() }));
  const lost = () => {
    store.act({ type: "lost" });
    if (!isStopped && !socket.active) parts.refused();
  };
  socket.on("disconnect", lost);
  socket.on("connect_error", lost);
  return {
    stop() {
      isStopped = true;
      socket.disconnect();
    },
  };
}
