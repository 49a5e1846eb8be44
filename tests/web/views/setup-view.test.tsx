// @vitest-environment happy-dom
// Set-up: a bucket that no cell weighs is made in the page.
import { cleanup, fireEvent, render, screen, within } from "@testing-library/preact";
import { afterEach, expect, it, vi } from "vitest";
import { SetupPage } from "../../../web/views/setup-view.tsx";
import { samplePage, sampleYard } from "../sample-yard.ts";

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

type Sent = { method: string; path: string; body: unknown };

/** A server that answers what the page reads, and keeps what it is sent. */
function serverThatKeeps(): Sent[] {
  const sent: Sent[] = [];
  vi.stubGlobal("fetch", (url: string, { method = "GET", body }: RequestInit = {}) => {
    const path = url.replace("/api/v1", "");
    if (method === "GET") return Promise.resolve(Response.json([]));
    sent.push({ method, path, body: JSON.parse(String(body)) });
    return Promise.resolve(Response.json({ id: `${path.slice(1)}-${sent.length}` }));
  });
  return sent;
}

it("a bucket without a cell is added with its tree and tap, folded until it is wanted", async () => {
  const sent = serverThatKeeps();
  render(
    <SetupPage page={samplePage({ yard: sampleYard({ buckets: [] }) })} session={undefined} />,
  );
  const fold = screen.getByText("Add a bucket without a cell").closest("details");
  expect(fold?.open).toBe(false);
  const form = within(screen.getByRole("form", { name: "Bucket without a cell", hidden: true }));
  fireEvent.input(form.getByLabelText("The bucket’s name"), { target: { value: "Spring" } });
  fireEvent.input(form.getByLabelText(/^Holds up to the rim/), { target: { value: "15 L" } });
  fireEvent.submit(screen.getByRole("form", { name: "Bucket without a cell", hidden: true }));
  await form.findByText("Hung");
  expect(sent).toEqual([
    { method: "POST", path: "/trees", body: { label: "Spring" } },
    { method: "POST", path: "/taps", body: { treeId: "trees-1" } },
    {
      method: "POST",
      path: "/buckets",
      body: { label: "Spring", cell: null, capacityL: 15, emptyKg: 1, tapIds: ["taps-2"] },
    },
  ]);
  expect(form.getByLabelText<HTMLInputElement>("The bucket’s name").value).toBe("");
});

it("who may only look is offered no new bucket", () => {
  serverThatKeeps();
  render(<SetupPage page={samplePage({ mayChange: false })} session={undefined} />);
  expect(screen.queryByText("Add a bucket without a cell")).toBeNull();
});
