// Asks an app without any socket, as a server would hand it a request: ten times as many inputs in the same time.
import { IncomingMessage, ServerResponse } from "node:http";
import { Socket } from "node:net";
import type { Express } from "express";

export type Asked = { method: string; path: string; body: string };
export type Answered = { status: number; text: string };

/** Sends a JSON body; resolves once the answer is whole. */
export function askInProcess(app: Express, { method, path, body }: Asked): Promise<Answered> {
  const socket = new Socket();
  Object.defineProperty(socket, "remoteAddress", { value: "127.0.0.1" });
  const request = new IncomingMessage(socket);
  const headers = {
    host: "127.0.0.1",
    "content-type": "application/json",
    "content-length": String(Buffer.byteLength(body)),
  };
  Object.assign(request, { method, url: path, headers });
  request.push(body);
  request.push(null);
  const response = new ServerResponse(request);
  const chunks: Buffer[] = [];
  const take = (chunk: unknown) => {
    if (typeof chunk === "string" || chunk instanceof Uint8Array) chunks.push(Buffer.from(chunk));
  };
  return new Promise((resolve) => {
    response.write = (chunk: unknown) => {
      take(chunk);
      return true;
    };
    response.end = (chunk?: unknown) => {
      take(chunk);
      resolve({ status: response.statusCode, text: Buffer.concat(chunks).toString() });
      return response;
    };
    app(request as never, response as never);
  });
}
