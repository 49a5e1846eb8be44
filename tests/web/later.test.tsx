// @vitest-environment happy-dom
// A view that comes later: nothing, then itself; and words when it doesn't come.
import { cleanup, render, screen } from "@testing-library/preact";
import { afterEach, expect, it } from "vitest";
import { later } from "../../web/later.tsx";

afterEach(cleanup);

const Named = ({ name }: { name: string }) => <p>{name} is here</p>;

it("a view is shown once its code has come, and at once the next time", async () => {
  let asked = 0;
  const View = later(() => {
    asked += 1;
    return Promise.resolve(Named);
  });
  render(<View name="Gate" />);
  expect(screen.queryByText("Gate is here")).toBeNull();
  await screen.findByText("Gate is here");
  cleanup();
  render(<View name="Well" />);
  expect(screen.getByText("Well is here")).toBeTruthy();
  expect(asked).toBe(1);
});

it("a view that doesn't come says so", async () => {
  const View = later<{ name: string }>(() => Promise.reject(new Error("gone")));
  render(<View name="Gate" />);
  expect((await screen.findByRole("alert")).textContent).toMatch(/did not come/);
});
