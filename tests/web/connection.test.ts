// The live link: what it hands on, and how old figures become while it is lost.
import { describe, expect, it } from "vitest";
import { yardNowMs } from "../../web/clock.ts";
import { type LiveSocket, startConnection } from "../../web/connection.ts";
import { createStore } from "../../web/store.ts";
import { nowMs, sampleYard } from "./sample-yard.ts";

function fakeSocket() {
  const seen = new Map<string, (value?: unknown) => void>();
  const socket = {
    active: true,
    isOpen: true,
    on(name: string, handler: (value?: never) => void) {
      seen.set(name, handler as (value?: unknown) => void);
    },
    disconnect() {
      socket.isOpen = false;
      socket.active = false;
      seen.get("disconnect")?.();
    },
  };
  const say = (name: string, value?: unknown) => seen.get(name)?.(value);
  return { socket: socket as LiveSocket & { active: boolean; isOpen: boolean }, say };
}

function startedLink() {
  const store = createStore();
  const { socket, say } = fakeSocket();
  const refusals: string[] = [];
  let pageMs = 1000;
  const connection = startConnection({
    store,
    socket,
    pageMs: () => pageMs,
    refused: () => refusals.push("refused"),
  });
  const wait = (ms: number) => {
    pageMs += ms;
  };
  return { store, socket, say, refusals, connection, wait };
}

describe("the live link", () => {
  it("hands the whole yard and every change to the store", () => {
    const { store, say } = startedLink();
    say("yard", sampleYard());
    say("change", { nowMs: nowMs + 1, gone: ["gate"] });
    expect(store.get().yard?.buckets).toEqual([]);
    expect(store.get().freshMs).toBe(nowMs + 1);
  });

  it("tells when it is lost and when it is back, with the figures kept", () => {
    const { store, say } = startedLink();
    say("yard", sampleYard());
    say("disconnect");
    expect(store.get().link).toBe("lost");
    expect(store.get().yard?.buckets).toHaveLength(1);
    say("yard", sampleYard());
    expect(store.get().link).toBe("live");
  });

  it("leaves trying again to the socket as long as the socket does", () => {
    const { say, refusals } = startedLink();
    say("disconnect");
    say("connect_error");
    expect(refusals).toEqual([]);
  });

  it("says when the server has closed the door", () => {
    const { socket, say, refusals } = startedLink();
    socket.active = false;
    say("connect_error");
    expect(refusals).toEqual(["refused"]);
  });

  it("closes without calling that a refusal", () => {
    const { socket, refusals, connection } = startedLink();
    connection.stop();
    expect(socket.isOpen).toBe(false);
    expect(refusals).toEqual([]);
  });
});

describe("the yard's time in the page", () => {
  it("runs on from the server's word, so that lost figures grow old", () => {
    const { store, say, wait } = startedLink();
    say("yard", sampleYard());
    wait(90_000);
    const { clock, freshMs } = store.get();
    expect(yardNowMs(clock!, 91_000) - freshMs!).toBe(90_000);
  });

  it("runs at the yard's speed", () => {
    const anchor = { yardMs: 5_000_000, pageMs: 100, speed: 600 };
    expect(yardNowMs(anchor, 1100)).toBe(5_000_000 + 600_000);
  });

  it("never runs backwards before its anchor", () => {
    expect(yardNowMs({ yardMs: 7, pageMs: 100, speed: 600 }, 50)).toBe(7);
  });
});
