// Talks to /api/v1: JSON in and out, and the server's own words when it refuses.
import type { Problem } from "../shared/wire/api.ts";

export class ApiError extends Error {
  readonly status: number;

  constructor(status: number, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = "ApiError";
    this.status = status;
  }
}

export type Method = "GET" | "POST" | "PATCH" | "DELETE";

/** Asks the server; throws ApiError with a sentence fit to show when it can't or won't answer. */
export async function callApi<T>(method: Method, path: string, body?: unknown): Promise<T> {
  const response = await sent(method, path, body);
  const text = await response.text();
  if (!response.ok) throw new ApiError(response.status, problemWords(response.status, text));
  return (text === "" ? undefined : JSON.parse(text)) as T;
}

async function sent(method: Method, path: string, body: unknown): Promise<Response> {
  const hasBody = body !== undefined;
  try {
    return await fetch(`/api/v1${path}`, {
      method,
      credentials: "same-origin",
      ...(hasBody && {
        headers: { "content-type": "application/json" },
        body: JSON.stringify(body),
      }),
    });
  } catch (cause) {
    throw new ApiError(0, "The server does not answer. Is it running?", { cause });
  }
}

/** What a refusal says: the detail of RFC 9457 problem details, else the status. */
export function problemWords(status: number, text: string): string {
  try {
    const problem = JSON.parse(text) as Partial<Problem>;
    return problem.detail ?? problem.title ?? `The server answered ${status}`;
  } catch {
    return `The server answered ${status}`;
  }
}

export function spanQuery(span: { fromMs: number; toMs: number; stepMs?: number }): string {
  const query = new URLSearchParams({
    fromMs: String(Math.round(span.fromMs)),
    toMs: String(Math.round(span.toMs)),
  });
  if (span.stepMs !== undefined) query.set("stepMs", String(Math.round(span.stepMs)));
  return `?${query}`;
}
