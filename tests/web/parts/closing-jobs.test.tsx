// @vitest-environment happy-dom
// Closing a season asks with what is left to do; once closed, nothing more is offered to write down.
import { cleanup, fireEvent, render, screen } from "@testing-library/preact";
import { afterEach, expect, it, vi } from "vitest";
import type { Season } from "../../../shared/wire/seasons.ts";
import { ClosingJobs } from "../../../web/parts/closing-jobs.tsx";
import { RoundPage } from "../../../web/views/round-view.tsx";
import { nowMs, samplePage } from "../sample-yard.ts";

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

const season: Season = {
  year: 2026,
  fromMs: 0,
  untilMs: nowMs,
  closedMs: null,
  note: null,
  jobs: [
    { key: "pull", doneMs: null },
    { key: "wash", doneMs: 5 },
  ],
};

function answering(answers: Record<string, unknown>) {
  vi.stubGlobal("fetch", (url: string) => {
    const answer = answers[url.replace("/api/v1", "")];
    return Promise.resolve(
      answer === undefined ? new Response("", { status: 404 }) : Response.json(answer),
    );
  });
}

it("asks with the spiles that are in and the jobs that aren’t ticked", async () => {
  answering({ "/taps": [{ pulledMs: null }, { pulledMs: 5 }] });
  render(<ClosingJobs page={samplePage()} season={season} changed={() => undefined} />);
  fireEvent.click(screen.getByRole("button", { name: "Close 2026" }));
  expect(
    await screen.findByText(/^Close 2026\? Left to do: 1 job not ticked, 1 spile still in\./),
  ).toBeTruthy();
});

it.each([
  [null, true],
  [5, false],
])("a season closed at %s offers to write a gathering down: %s", async (closedMs, isOffered) => {
  answering({ "/seasons": [{ ...season, closedMs }] });
  render(<RoundPage page={samplePage()} />);
  const closed = /^2026 is closed: nothing can be written down/;
  if (!isOffered) await screen.findByText(closed);
  expect(screen.queryByText("Gathered without a cell") !== null).toBe(isOffered);
});
