// The OpenAPI 3.1 document of the API, made from the very routes that answer.
import { STATUS_CODES } from "node:http";
import { z } from "zod";
import {
  createDocument,
  type ZodOpenApiContentObject,
  type ZodOpenApiOperationObject,
  type ZodOpenApiPathsObject,
  type ZodOpenApiResponsesObject,
} from "zod-openapi";
import { problemSchema } from "../../shared/wire/api.ts";
import { type Route, route, senmlTypes } from "./route.ts";

const problemDetails = problemSchema.extend({
  errors: z
    .array(z.object({ field: z.string(), expected: z.string(), got: z.string() }))
    .optional(),
});

/** The route that hands out the document; it is in the document itself. */
export function openApiRoute(others: Route[]): Route {
  const self = route({
    method: "get",
    path: "/openapi.json",
    summary: "This document",
    answer: z.record(z.string(), z.unknown()),
    handle: () => document,
  });
  const document: Record<string, unknown> = { ...documentOf([...others, self]) };
  return self;
}

function documentOf(routes: Route[]) {
  const paths: ZodOpenApiPathsObject = {};
  for (const each of routes) {
    paths[each.path] = { ...paths[each.path], [each.method]: operationOf(each) };
  }
  return createDocument({
    openapi: "3.1.0",
    info: {
      title: "Brimful",
      version: "1",
      description: "Times are epoch milliseconds; kg, L, L/h, Cel, Pa. Missing is null, never 0.",
    },
    servers: [{ url: "/api/v1" }],
    paths,
  });
}

function operationOf(each: Route): ZodOpenApiOperationObject {
  const path = each.path.includes("{id}") ? z.object({ id: z.string() }) : undefined;
  const query = each.query instanceof z.ZodObject ? each.query : undefined;
  const requestParams = { ...(path && { path }), ...(query && { query }) };
  const operation: ZodOpenApiOperationObject = {
    summary: each.summary,
    operationId: operationIdOf(each),
    responses: responsesOf(each),
  };
  if (path || query) operation.requestParams = requestParams;
  if (each.bodyType === "senml") {
    operation.requestBody = { required: true, content: contentOf(senmlTypes, senmlSchema) };
  } else if (each.body) {
    operation.requestBody = { required: true, content: contentOf(["application/json"], each.body) };
  }
  return operation;
}

/** SenML is described by its RFC, not here. */
const senmlSchema = z.array(z.record(z.string(), z.unknown()));

function contentOf(types: string[], schema: z.ZodType): ZodOpenApiContentObject {
  return Object.fromEntries(types.map((type) => [type, { schema }]));
}

function responsesOf(each: Route): ZodOpenApiResponsesObject {
  const status = each.status ?? (each.answer || each.answerType ? 200 : 204);
  const type = each.answerType ?? "application/json";
  return {
    [String(status) as "200"]: {
      description: STATUS_CODES[status] ?? "",
      ...(status !== 204 && { content: contentOf([type], each.answer ?? z.string()) }),
    },
    default: {
      description: "What went wrong (RFC 9457)",
      content: { "application/problem+json": { schema: problemDetails } },
    },
  };
}

function operationIdOf({ method, path }: Route): string {
  const words = path.split(/[^a-z]+/i).filter((word) => word !== "" && word !== "id");
  return [method, ...words].join("-") + (path.endsWith("{id}") ? "-one" : "");
}
