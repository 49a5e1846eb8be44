// Readings over HTTP, for those who can't speak MQTT; the same rules hold.
import { setTimeout as delay } from "node:timers/promises";
import type { Request } from "express";
import { z } from "zod";
import { parseJson } from "../../shared/wire/record-checks.ts";
import { isBoardName } from "../../shared/wire/topics.ts";
import type { HttpParts } from "./parts.ts";
import { fieldProblem, HttpProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";

type Parts = Pick<HttpParts, "intake" | "allowance" | "areBoardsEnrolled" | "checkBoard">;

const refusalSchema = z.object({ record: z.string(), reason: z.string() });
const acceptedSchema = z.object({
  /** On disk now. */
  stored: z.number().int(),
  /** Were there already. */
  duplicates: z.number().int(),
  refused: z.array(refusalSchema),
});

export function readingRoutes(parts: Parts): Route[] {
  return [
    route({
      method: "post",
      path: "/readings",
      summary: "Store a SenML pack (RFC 8428) of one board; answered once it is on disk",
      body: z.string(),
      bodyType: "senml",
      answer: acceptedSchema,
      handle: async ({ body, request }) => {
        const board = boardFrom(body);
        await requireBoard(parts, request, board);
        await delay(parts.allowance.take(board, body.length));
        const source = `http ${request.socket.remoteAddress ?? ""}`.trim();
        const accepted = await parts.intake.accept({ board, payload: body, source });
        if (accepted.problem !== undefined) throw new HttpProblem(422, accepted.problem);
        const { stored, duplicates, refusals } = accepted;
        return { stored, duplicates, refused: refusals };
      },
    }),
  ];
}

/** Which board a pack says it is from: the first record's base name, "hill/". */
function boardFrom(body: string): string {
  const json = parseJson(body);
  if (!json.ok) throw new HttpProblem(400, json.problem);
  const first: unknown = Array.isArray(json.value) ? json.value[0] : undefined;
  const baseName = (first as { bn?: unknown } | null | undefined)?.bn;
  const board = typeof baseName === "string" ? baseName.split("/")[0] : undefined;
  if (board === undefined || !isBoardName(board)) {
    const expected = "the board's name and a slash in the first record, such as hill/";
    const got = typeof baseName === "string" ? `"${baseName.slice(0, 60)}"` : typeof baseName;
    throw fieldProblem("bn", expected, got);
  }
  return board;
}

async function requireBoard(parts: Parts, request: Request, board: string): Promise<void> {
  if (!parts.areBoardsEnrolled()) return;
  const given = basicFrom(request.get("authorization"));
  if (given?.name === board && (await parts.checkBoard(board, given.secret))) return;
  request.res?.set("www-authenticate", 'Basic realm="board"');
  throw new HttpProblem(401, `readings of ${board} require that board's name and secret`);
}

/** RFC 7617. */
function basicFrom(header: string | undefined): { name: string; secret: string } | undefined {
  const encoded = /^basic ([A-Za-z0-9+/]+={0,2})$/i.exec(header ?? "")?.[1];
  if (encoded === undefined) return undefined;
  const text = Buffer.from(encoded, "base64").toString("utf8");
  const colon = text.indexOf(":");
  return colon < 0 ? undefined : { name: text.slice(0, colon), secret: text.slice(colon + 1) };
}
