// Shuts out for a while whoever has shown too many wrong secrets; right ones cost nothing, however many at once.
import type { RequestHandler } from "express";
import { ipKeyGenerator } from "express-rate-limit";
import type { Clock } from "../../shared/clock.ts";
import { msPerMinute } from "../../shared/units.ts";
import { HttpProblem, sendProblem } from "./problem.ts";

const mostAddresses = 10_000;

type Guesses = { count: number; untilMs: number };

/**
 * So many answers 401 a minute for one address (one network of it where it is IPv6). How many wait
 * at the same time is bounded where secrets are checked.
 */
export function createGuessLimit(limit: number, clock: Clock): RequestHandler {
  const guesses = new Map<string, Guesses>();
  const recent = (address: string): Guesses | undefined => {
    const known = guesses.get(address);
    return known !== undefined && clock.nowMs() < known.untilMs ? known : undefined;
  };
  const wasWrong = (address: string) => {
    const known = recent(address);
    if (known !== undefined) {
      known.count += 1;
      return;
    }
    if (guesses.size >= mostAddresses) guesses.clear();
    guesses.set(address, { count: 1, untilMs: clock.nowMs() + msPerMinute });
  };
  return (request, response, next) => {
    // No proxy is trusted: the address is the peer's, whatever the headers say.
    const address = ipKeyGenerator(request.socket.remoteAddress ?? "");
    const known = recent(address);
    if (known !== undefined && known.count >= limit) {
      const waitS = Math.ceil((known.untilMs - clock.nowMs()) / 1000);
      response.set("retry-after", String(waitS));
      const text = `address requires at most ${limit} wrong secrets a minute, got more; try again in ${waitS} s`;
      sendProblem(response, new HttpProblem(429, text));
      return;
    }
    response.once("finish", () => {
      if (response.statusCode === 401) wasWrong(address);
    });
    next();
  };
}
