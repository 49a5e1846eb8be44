// Keeps the open pages up to date: the yard whole on connecting, then what changed.
import type { Server as HttpServer } from "node:http";
import { Server, type Socket } from "socket.io";
import type { PageToServer, ServerToPage, YardChange } from "../../shared/wire/live.ts";
import type { Guard } from "../http/guard.ts";
import type { SignIn } from "../http/sign-in.ts";
import type { Watch } from "../watch/watch.ts";
import { createFeed, type Feed } from "./feed.ts";

export type LiveParts = {
  httpServer: HttpServer;
  watch: Pick<Watch, "yardView" | "onChange">;
  guard: Pick<Guard, "handshakeProblem">;
  signIn: Pick<SignIn, "sessionOf">;
  /** Real time from one change to the next for one client. */
  restMs?: number;
  mostPages?: number;
};

export type Live = {
  start(): void;
  /** Closes every page's socket, not the HTTP server; safe twice. */
  stop(): Promise<void>;
  /** Closes the sockets of a session that was ended. */
  signOut(sessionHash: string): void;
  /** Closes those whose session has ended some other way. */
  endShutOut(): void;
};

type Page = Socket<PageToServer, ServerToPage>;

/** Four changes a second at most. */
const defaultRestMs = 250;
/** So many pages are open in no yard; each costs memory. */
const mostPages = 250;
/** A page sends nothing but the protocol's own few bytes. */
const mostBytesFromPage = 4096;

export function createLive(parts: LiveParts): Live {
  const { watch, guard, signIn, restMs = defaultRestMs } = parts;
  const feeds = new Map<string, Feed>();
  let io: Server<PageToServer, ServerToPage> | undefined;
  let stopListening: (() => void) | undefined;
  const pages = () => io?.sockets.sockets.values() ?? [];

  function welcome(page: Page): void {
    const session = signIn.sessionOf(page.handshake.headers.cookie);
    if (session !== undefined) void page.join(roomOf(session));
    page.emit("yard", watch.yardView());
    const send = (change: YardChange) => page.emit("change", change);
    const feed = createFeed({ send, isDrained: () => isReady(page), restMs });
    feeds.set(page.id, feed);
    page.on("disconnect", () => {
      feed.stop();
      feeds.delete(page.id);
    });
  }

  const isShutOut = (page: Page) => guard.handshakeProblem(page.handshake.headers) !== undefined;

  /** A session that has ended, or a passphrase set meanwhile, shuts an open page out too. */
  function pushTo(page: Page, change: YardChange): void {
    if (isShutOut(page)) page.disconnect(true);
    else feeds.get(page.id)?.push(change);
  }

  return {
    start(): void {
      if (io) return;
      io = openIo(parts);
      io.on("connection", welcome);
      stopListening = watch.onChange((change) => {
        for (const page of pages()) pushTo(page, change);
      });
    },

    async stop(): Promise<void> {
      stopListening?.();
      stopListening = undefined;
      for (const feed of feeds.values()) feed.stop();
      feeds.clear();
      const closing = io;
      io = undefined;
      if (closing === undefined) return;
      closing.disconnectSockets(true);
      closing.engine.close();
      await closing.of("/").adapter.close();
    },

    endShutOut(): void {
      for (const page of pages()) if (isShutOut(page)) page.disconnect(true);
    },

    signOut(sessionHash: string): void {
      io?.in(roomOf(sessionHash)).disconnectSockets(true);
    },
  };
}

function openIo({
  httpServer,
  guard,
  mostPages: most = mostPages,
}: LiveParts): Server<PageToServer, ServerToPage> {
  const io: Server<PageToServer, ServerToPage> = new Server(httpServer, {
    serveClient: false,
    perMessageDeflate: false,
    maxHttpBufferSize: mostBytesFromPage,
    allowRequest: (request, decide) => {
      const isFull = io.engine.clientsCount >= most;
      const problem = isFull ? "too many pages are open" : guard.handshakeProblem(request.headers);
      decide(problem, problem === undefined);
    },
  });
  return io;
}

function roomOf(sessionHash: string): string {
  return `session ${sessionHash}`;
}

/** True when all that was sent to the page before has been handed to the network. */
function isReady({ conn }: Page): boolean {
  return conn.transport.writable;
}
