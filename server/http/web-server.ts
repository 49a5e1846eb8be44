// The web server that the page is served from, with TLS where there is a certificate.
import { createServer, type Server } from "node:http";
import { createServer as createTlsServer } from "node:https";
import { AppError } from "../../shared/errors.ts";
import type { Config } from "../config.ts";
import type { Tls } from "../tls.ts";

export type WebServer = {
  server: Server;
  /** Where people open the page; known once it listens. */
  url(): string;
  /** Throws AppError "port-in-use" or "network". */
  listen(): Promise<void>;
  close(): Promise<void>;
};

export function createWebServer(config: Config, tls: Tls | undefined): WebServer {
  const server = tls === undefined ? createServer() : createTlsServer(tls);
  const scheme = tls === undefined ? "http" : "https";
  return {
    server,
    url() {
      const address = server.address();
      const port = typeof address === "object" && address !== null ? address.port : config.httpPort;
      return `${scheme}://${config.httpHost}:${port}`;
    },
    listen: () => listen(server, config),
    close() {
      server.closeAllConnections();
      return new Promise((resolve) => {
        server.close(() => resolve());
      });
    },
  };
}

function listen(server: Server, { httpHost, httpPort }: Config): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once("error", (cause: NodeJS.ErrnoException) => {
      const inUse = cause.code === "EADDRINUSE";
      const message = inUse
        ? `BRIMFUL_HTTP_PORT requires a free port, got ${httpPort}, which is in use`
        : `BRIMFUL_HTTP_HOST requires an address of this machine, got ${httpHost} (${cause.code})`;
      reject(new AppError(inUse ? "port-in-use" : "network", message, { cause }));
    });
    server.listen(httpPort, httpHost, resolve);
  });
}
