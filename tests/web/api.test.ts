// Refusals of the server in its own words, and the queries sent.
import { expect, it } from "vitest";
import { problemWords, spanQuery } from "../../web/api.ts";

it("a problem's detail is shown, else its title, else the status", () => {
  const problem = { type: "about:blank", title: "Conflict", status: 409 };
  expect(problemWords(409, JSON.stringify({ ...problem, detail: "cell is taken" }))).toBe(
    "cell is taken",
  );
  expect(problemWords(409, JSON.stringify(problem))).toBe("Conflict");
  expect(problemWords(502, "<html>Bad gateway</html>")).toBe("The server answered 502");
});

it("a span is asked for in whole milliseconds", () => {
  expect(spanQuery({ fromMs: 1.4, toMs: 2.6 })).toBe("?fromMs=1&toMs=3");
  expect(spanQuery({ fromMs: 0, toMs: 9, stepMs: 3.3 })).toBe("?fromMs=0&toMs=9&stepMs=3");
});
