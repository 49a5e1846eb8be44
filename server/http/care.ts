// How the server itself fares, a backup when a person asks for one, and one to take away.
import { createReadStream } from "node:fs";
import { basename } from "node:path";
import { pipeline } from "node:stream/promises";
import type { Response } from "express";
import { careSchema } from "../../shared/wire/care.ts";
import type { HttpParts } from "./parts.ts";
import { HttpProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";

export function careRoutes({ care }: Pick<HttpParts, "care">): Route[] {
  return [
    route({
      method: "get",
      path: "/care",
      summary: "Disk, backups, boards, clocks and version of the server itself",
      answer: careSchema,
      handle: () => {
        // Somebody is looking: one made by hand a moment ago counts.
        care.backups.lookAgain();
        return care.view();
      },
    }),
    route({
      method: "post",
      path: "/care/backup",
      summary: "Make a backup now; answered once it is made and checked",
      answer: careSchema,
      handle: async () => {
        await care.backups.backUpNow();
        const { problem } = care.backups.state();
        if (problem !== null) throw new HttpProblem(503, problem);
        return care.view();
      },
    }),
    route({
      method: "get",
      path: "/backup",
      mayUse: "owner",
      summary:
        "A consistent, checked copy of the database; it holds hashes and the addresses of notices",
      answerType: "application/vnd.sqlite3",
      handle: ({ response }) => sendCopy(response, care.backups.takeAway),
    }),
  ];
}

type TakeAway = HttpParts["care"]["backups"]["takeAway"];

async function sendCopy(response: Response, takeAway: TakeAway): Promise<void> {
  const { file, remove } = await takeAway();
  try {
    response.type("application/vnd.sqlite3").set("cache-control", "no-store");
    response.attachment(basename(file));
    await pipeline(createReadStream(file), response);
  } catch (error) {
    // Whoever asked has gone away.
    if ((error as { code?: string }).code !== "ERR_STREAM_PREMATURE_CLOSE") throw error;
  } finally {
    remove();
  }
}
