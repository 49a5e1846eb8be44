// A route as data: express, the 405 answers and the OpenAPI document are all made from the same list.
import express, { type Request, type RequestHandler, type Response, type Router } from "express";
import type { z } from "zod";
import type { Role } from "../../shared/wire/viewing.ts";
import { checked } from "./checked.ts";
import { HttpProblem } from "./problem.ts";
import type { Whole } from "./whole.ts";

export type RouteInput<Query, Body> = {
  /** The `{id}` of the path; empty where it has none. */
  id: string;
  query: Query;
  body: Body;
  request: Request;
  response: Response;
};

export type Route = {
  method: "get" | "post" | "patch" | "delete";
  /** Below /api/v1, with `{id}` for the id. */
  path: string;
  summary: string;
  query?: z.ZodType;
  body?: z.ZodType;
  /** A SenML body is handed over as text. */
  bodyType?: "senml";
  /** The JSON that is answered; without it and without `answerType` the answer is 204. */
  answer?: z.ZodType;
  /** Its media type, if it isn't application/json; without `answer` the handler sends it itself. */
  answerType?: string;
  status?: number;
  /** Left out: whoever looks may read, and only an owner may change. */
  mayUse?: Role;
  handle(input: RouteInput<never, never>): unknown;
};

type TypedRoute<Q extends z.ZodType, B extends z.ZodType, A extends z.ZodType> = Omit<
  Route,
  "query" | "body" | "answer" | "handle"
> & {
  query?: Q;
  body?: B;
  answer?: A;
  handle(
    input: RouteInput<z.output<Q>, z.output<B>>,
  ): NoInfer<z.output<A>> | Promise<NoInfer<z.output<A>>>;
};

/** Holds a handler to the types of its route's schemas. */
export function route<Q extends z.ZodType, B extends z.ZodType, A extends z.ZodType>(
  typed: TypedRoute<Q, B, A>,
): Route {
  return typed;
}

/** Largest body taken, in bytes. */
export const bodyLimitBytes = 256 * 1024;

const readJson = express.json({ limit: bodyLimitBytes, type: "application/json" });
export const senmlTypes = ["application/senml+json", "application/json"];
const readText = express.text({ limit: bodyLimitBytes, type: senmlTypes });

/** Puts the routes on a router; a path with another method answers 405 and names those it has. */
export function mountRoutes(router: Router, routes: Route[], whole: Whole): void {
  for (const path of new Set(routes.map((each) => each.path))) {
    const sharing = routes.filter((each) => each.path === path);
    const at = router.route(path.replace("{id}", ":id"));
    for (const each of sharing) {
      at[each.method](requireRole(each), ...readersOf(each), handlerOf(each, whole));
    }
    at.all(methodNotAllowed(sharing));
  }
}

/** Who came in without a session, where none is asked for, is an owner. */
function requireRole({ method, mayUse = method === "get" ? "viewer" : "owner" }: Route) {
  const requireIt: RequestHandler = (_request, response, next) => {
    if (mayUse === "owner" && response.locals["role"] === "viewer") {
      throw new HttpProblem(403, "this requires the owner's passphrase, got a viewing link");
    }
    next();
  };
  return requireIt;
}

function readersOf({ body, bodyType }: Route): RequestHandler[] {
  if (bodyType === "senml") return [requireType(senmlTypes), readText];
  return body === undefined ? [] : [requireType(["application/json"]), readJson];
}

/**
 * A body in another media type is refused unread. That also keeps pages of other sites out: a
 * browser asks before it sends these types across origins.
 */
function requireType(types: string[]): RequestHandler {
  return (request, _response, next) => {
    if (request.is(types) === false) {
      const got = request.get("content-type") ?? "none";
      throw new HttpProblem(415, `content-type requires ${types.join(" or ")}, got ${got}`);
    }
    next();
  };
}

function handlerOf(each: Route, whole: Whole): RequestHandler {
  return async (request, response) => {
    const id = request.params["id"];
    const input = {
      id: typeof id === "string" ? id : "",
      query: each.query && checked(each.query, request.query, "query"),
      body: each.body && checked(each.body, request.body, "body"),
      request,
      response,
    };
    const handle = () => each.handle(input as RouteInput<never, never>);
    const answer = await (each.method === "get" ? handle() : whole(handle));
    if (!response.headersSent) sendAnswer(each, response, answer);
  };
}

function sendAnswer(each: Route, response: Response, answer: unknown): void {
  response.status(each.status ?? (each.answer ? 200 : 204));
  response.set("cache-control", "no-store");
  if (each.answerType) response.type(each.answerType);
  if (each.answer) response.json(answer);
  else response.end();
}

function methodNotAllowed(sharing: Route[]): RequestHandler {
  const allowed = sharing.map((each) => each.method.toUpperCase()).join(", ");
  return (request, response) => {
    response.set("allow", allowed);
    throw new HttpProblem(405, `method requires ${allowed} here, got ${request.method}`);
  };
}
