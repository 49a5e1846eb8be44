// The web server that the page is served from, with TLS where there is a certificate.
import { createServer, type Server } from "node:http";
import { createServer as createTlsServer } from "node:https";
import { AppError } from "../../shared/errors.ts";
import type { Config } from "../config.ts";
import { type ConnectionLimits, limitConnections } from "../limit-connections.ts";
import type { Log, OnceAMinute } from "../log.ts";
import type { Tls } from "../tls.ts";

export type WebServer = {
  server: Server;
  /** Where people open the page; known once it listens. */
  url(): string;
  /** Throws AppError "port-in-use" or "network". */
  listen(): Promise<void>;
  close(): Promise<void>;
};

export type WebLimits = ConnectionLimits & {
  /** Real time for the head of a request, for the whole of it, and without a byte of an answer taken. */
  headMs: number;
  requestMs: number;
  silenceMs: number;
};

const usualLimits: WebLimits = {
  most: 1000,
  mostFromOne: 250,
  headMs: 15_000,
  requestMs: 60_000,
  silenceMs: 180_000,
};

export function createWebServer(parts: {
  config: Pick<Config, "httpHost" | "httpPort">;
  tls: Tls | undefined;
  log: Pick<Log, "warn">;
  onceAMinute: OnceAMinute;
  limits?: WebLimits;
}): WebServer {
  const { config, tls, limits = usualLimits } = parts;
  const patience = {
    headersTimeout: limits.headMs,
    requestTimeout: limits.requestMs,
    connectionsCheckingInterval: Math.min(5000, limits.headMs),
  };
  const server =
    tls === undefined ? createServer(patience) : createTlsServer({ ...tls, ...patience });
  server.setTimeout(limits.silenceMs);
  limitConnections(server, limits, (address) =>
    parts.onceAMinute(`too many pages ${address}`, (unwritten) => {
      parts.log.warn("connection refused, too many are open", { address, unwritten });
    }),
  );
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

function listen(
  server: Server,
  { httpHost, httpPort }: Pick<Config, "httpHost" | "httpPort">,
): Promise<void> {
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
