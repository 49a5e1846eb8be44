// A way to a board on the network: Firmata over a TCP connection.
import { connect } from "node:net";
import { createEnding, type Dial } from "./dial.ts";

const keepAliveMs = 10_000;
const connectMs = 10_000;

export function createTcpDial({ host, port }: { host: string; port: number }): Dial {
  return (events) => {
    const ending = createEnding(events);
    const socket = connect({
      host,
      port,
      noDelay: true,
      keepAlive: true,
      keepAliveInitialDelay: keepAliveMs,
    });
    const late = setTimeout(() => {
      socket.destroy(new Error(`${host}:${port} did not answer in time`));
    }, connectMs);
    socket.on("connect", () => {
      clearTimeout(late);
      events.opened();
    });
    socket.on("data", (bytes) => events.data(bytes));
    socket.on("error", (error) => ending.note(error));
    socket.on("close", () => {
      clearTimeout(late);
      ending.end("the board closed the connection");
    });
    return {
      write: (bytes) => void socket.write(bytes),
      close: () => void socket.destroy(),
    };
  };
}
