// Serves the built page: hashed files may be kept for a year, the page itself is asked for anew.
import { existsSync } from "node:fs";
import { join } from "node:path";
import express, { type RequestHandler } from "express";

const notBuilt = `<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Brimful</title>
<p>The page isn't built yet. Run <code>npm run build</code>, then load this again.</p>
</html>
`;

const oneYear = "public, max-age=31536000, immutable";

export function staticPage(folder: string): RequestHandler[] {
  return [
    express.static(folder, {
      index: "index.html",
      redirect: false,
      setHeaders: (response, path) => {
        const isHashed = path.startsWith(join(folder, "assets"));
        response.setHeader("cache-control", isHashed ? oneYear : "no-cache");
      },
    }),
    (request, response, next) => {
      const asksForPage = request.method === "GET" && request.path === "/";
      if (!asksForPage || existsSync(join(folder, "index.html"))) {
        next();
        return;
      }
      response.status(503).type("html").send(notBuilt);
    },
  ];
}
