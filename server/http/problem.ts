// Says what went wrong as RFC 9457 problem details, whatever it was.
import { STATUS_CODES } from "node:http";
import type { ErrorRequestHandler, RequestHandler, Response } from "express";
import { AppError, type ErrorCode } from "../../shared/errors.ts";
import type { Problem } from "../../shared/wire/api.ts";
import { asStorageError } from "../db/open.ts";
import type { Log } from "../log.ts";

/** What was wrong with one field of what came in. */
export type FieldProblem = { field: string; expected: string; got: string };

/** A refusal with its HTTP status; the message is for people. */
export class HttpProblem extends Error {
  readonly status: number;
  readonly errors: FieldProblem[] | undefined;

  constructor(status: number, message: string, errors?: FieldProblem[]) {
    super(message);
    this.name = "HttpProblem";
    this.status = status;
    this.errors = errors;
  }
}

/** What is wrong with one field of a request that can be read: 422 with the message and the field by itself. */
export function fieldProblem(field: string, expected: string, got: string | number): HttpProblem {
  return new HttpProblem(422, `${field} requires ${expected}, got ${got}`, [
    { field, expected, got: String(got) },
  ]);
}

const statusByCode: Record<ErrorCode, number> = {
  config: 500,
  conflict: 409,
  "not-found": 404,
  unauthorised: 401,
  storage: 503,
  "storage-full": 507,
  "storage-read-only": 503,
  "storage-damaged": 503,
  "store-in-use": 409,
  "database-newer": 500,
  "native-module": 500,
  "port-in-use": 500,
  network: 502,
  "clock-unset": 503,
};

/** Sends problem details; RFC 9457 section 4.2.1: about:blank with the status phrase as title. */
export function sendProblem(response: Response, problem: HttpProblem): void {
  const body: Problem & { errors?: FieldProblem[] } = {
    type: "about:blank",
    title: STATUS_CODES[problem.status] ?? "Error",
    status: problem.status,
    detail: problem.message,
    ...(problem.errors ? { errors: problem.errors } : {}),
  };
  response.status(problem.status).type("application/problem+json").send(JSON.stringify(body));
}

/** Answers what no route took. */
export const notFound: RequestHandler = (request) => {
  throw new HttpProblem(404, `path requires one of this program's, got ${request.path}`);
};

/** Turns whatever was thrown into problem details; our own mistakes are logged, never shown. */
export function createProblemHandler(log: Pick<Log, "error">): ErrorRequestHandler {
  // biome-ignore lint/complexity/useMaxParams: express knows error handlers by their four parameters
  return (error: unknown, request, response, next) => {
    const problem = problemFrom(error);
    if (problem.status >= 500) {
      const { method, path } = request;
      log.error("request failed", { method, path, problem: problemTextOf(error) });
    }
    if (response.headersSent) {
      next(error);
      return;
    }
    sendProblem(response, problem);
  };
}

function problemTextOf(error: unknown): string {
  return error instanceof Error ? (error.stack ?? error.message) : String(error);
}

function problemFrom(error: unknown): HttpProblem {
  if (error instanceof HttpProblem) return error;
  if (error instanceof AppError) return new HttpProblem(statusByCode[error.code], error.message);
  const { code, type, status } = error as { code?: unknown; type?: unknown; status?: unknown };
  if (typeof code === "string" && code.startsWith("SQLITE_")) {
    return problemFrom(asStorageError(error, "the data folder"));
  }
  if (typeof type === "string") return bodyProblem(type, error);
  if (typeof status === "number" && status >= 400 && status < 500) {
    return new HttpProblem(status, `request requires a sound address, got one that isn't`);
  }
  return new HttpProblem(500, "request requires a server without faults; the log says more");
}

/** What express's body readers refuse, by their error types. */
function bodyProblem(type: string, error: unknown): HttpProblem {
  const { message, length, limit } = error as { message: string; length?: number; limit?: number };
  switch (type) {
    case "entity.too.large":
      return new HttpProblem(
        413,
        `body requires at most ${limit ?? "the limit of"} bytes, got ${length ?? "more"}`,
      );
    case "entity.parse.failed":
      return new HttpProblem(400, `body requires JSON, got something else: ${message}`);
    case "charset.unsupported":
    case "encoding.unsupported":
      return new HttpProblem(
        415,
        `body requires UTF-8, plain or compressed with gzip, deflate or br: ${message}`,
      );
    default:
      return new HttpProblem(400, `body requires to come whole: ${message}`);
  }
}
