// Puts the HTTP side together: guards, the API, figures for machines, the page.
import express, { type Express, Router } from "express";
import { rateLimit } from "express-rate-limit";
import helmet from "helmet";
import { alarmRoutes } from "./alarms.ts";
import { batchRoutes } from "./batches.ts";
import { boardRoutes } from "./boards.ts";
import { boilEntryRoutes } from "./boil-entries.ts";
import { boilRoutes } from "./boils.ts";
import { bucketRoutes } from "./buckets.ts";
import { careRoutes } from "./care.ts";
import { correctionRoutes } from "./corrections.ts";
import { curveRoutes } from "./curves.ts";
import { exportRoutes } from "./export.ts";
import { forecastRoutes } from "./forecast.ts";
import { gatheringRoutes } from "./gatherings.ts";
import { createGuard, type Guard } from "./guard.ts";
import { createGuessLimit } from "./guess-limit.ts";
import { healthRouter } from "./health.ts";
import { joiningRoutes } from "./joining.ts";
import { noticeBrowserRoutes } from "./notice-browsers.ts";
import { noticePeopleRoutes } from "./notice-people.ts";
import { noticeRoutes } from "./notices.ts";
import { openApiRoute } from "./openapi.ts";
import { orderRoutes } from "./orders.ts";
import type { HttpParts } from "./parts.ts";
import { createProblemHandler, HttpProblem, notFound, sendProblem } from "./problem.ts";
import { readingRoutes } from "./readings.ts";
import { recordRoutes } from "./record.ts";
import { roundRoutes } from "./rounds.ts";
import { mountRoutes, type Route } from "./route.ts";
import { seasonRoutes } from "./season.ts";
import { closingRoutes } from "./seasons.ts";
import { sessionRoutes } from "./session.ts";
import { createSignIn, type SignIn } from "./sign-in.ts";
import { staticPage } from "./static.ts";
import { sugarRoutes } from "./sugars.ts";
import { syrupRoutes } from "./syrup.ts";
import { tapRoutes } from "./taps.ts";
import { treeRoutes } from "./trees.ts";
import { vesselRoutes } from "./vessels.ts";
import { viewingRoutes } from "./viewing.ts";
import { washingRoutes } from "./washings.ts";
import { createWhole } from "./whole.ts";
import { yardRoutes } from "./yard.ts";

export type HttpSide = {
  app: Express;
  /** The questions the socket asks on its handshake. */
  guard: Guard;
  signIn: SignIn;
};

const signInsAMinute = 10;
const wrongSecretsAMinute = 30;

/** Every route of /api/v1. */
export function listRoutes(parts: HttpParts, signIn: SignIn): Route[] {
  const routes = [
    ...yardRoutes(parts),
    ...curveRoutes(parts),
    ...treeRoutes(parts),
    ...tapRoutes(parts),
    ...bucketRoutes(parts),
    ...washingRoutes(parts),
    ...recordRoutes(parts),
    ...seasonRoutes(parts),
    ...gatheringRoutes(parts),
    ...vesselRoutes(parts),
    ...roundRoutes(parts),
    ...sugarRoutes(parts),
    ...alarmRoutes(parts),
    ...syrupRoutes(parts),
    ...boilRoutes(parts),
    ...boilEntryRoutes(parts),
    ...batchRoutes(parts),
    ...closingRoutes(parts),
    ...readingRoutes(parts),
    ...boardRoutes(parts),
    ...orderRoutes(parts),
    ...correctionRoutes(parts),
    ...forecastRoutes(parts),
    ...noticeRoutes(parts),
    ...noticePeopleRoutes(parts),
    ...noticeBrowserRoutes(parts),
    ...sessionRoutes({ ...parts, signIn }),
    ...exportRoutes(parts),
    ...careRoutes(parts),
    ...viewingRoutes(parts),
    ...joiningRoutes(parts),
  ];
  return [...routes, openApiRoute(routes)];
}

export function createHttpApp(parts: HttpParts): HttpSide {
  const signIn = createSignIn(parts);
  const guard = createGuard({ ...parts, signIn });
  const app = express();
  app.disable("x-powered-by");
  app.use(securityHeaders(), guard.requireKnownHost, guard.requireOwnOrigin);
  app.use(healthRouter({ ...parts, guard }));
  app.use("/api/v1", apiRouter(parts, { guard, signIn }));
  app.use("/api", notFound);
  app.use(...staticPage(parts.webFolder));
  app.use(notFound);
  app.use(createProblemHandler(parts.log));
  return { app, guard, signIn };
}

function apiRouter(parts: HttpParts, { guard, signIn }: Omit<HttpSide, "app">): Router {
  const router = Router();
  router.post("/session", limited(signInsAMinute));
  router.post("/readings", createGuessLimit(wrongSecretsAMinute, parts.clock));
  router.use(guard.requireSession);
  mountRoutes(router, listRoutes(parts, signIn), createWhole(parts));
  return router;
}

/** So many requests a minute from one address. */
function limited(limit: number) {
  return rateLimit({
    windowMs: 60_000,
    limit,
    standardHeaders: "draft-8",
    legacyHeaders: false,
    // No proxy is trusted: the address is the peer's, whatever the headers say.
    validate: { xForwardedForHeader: false, forwardedHeader: false },
    handler: (_request, response) => {
      const text = `address requires at most ${limit} attempts a minute, got more; try again later`;
      sendProblem(response, new HttpProblem(429, text));
    },
  });
}

/** Nothing from elsewhere; plain http stays plain http, for that is what a yard's network has. */
function securityHeaders() {
  return helmet({
    strictTransportSecurity: false,
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'", "data:"],
        mediaSrc: ["'self'", "data:"],
        fontSrc: ["'self'"],
        manifestSrc: ["'self'"],
        // 'self' covers the page's own WebSocket too (CSP level 3).
        connectSrc: ["'self'"],
        baseUri: ["'none'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
      },
    },
  });
}
