// Says plainly when the link is lost, that a yard is simulated, and that one may only look.
import { formatAge, formatTimeOfDay } from "../../shared/people/format.ts";
import type { PageFrame } from "../page-frame.ts";

export function LinkBar({ page, freshMs }: { page: PageFrame; freshMs: number | undefined }) {
  if (page.live || freshMs === undefined) return null;
  return (
    <p class="link-bar">
      <span role="alert">
        The server can't be reached: everything here is from {formatTimeOfDay(freshMs, page)}.
      </span>{" "}
      That is {formatAge(page.nowMs - freshMs)}. Trying again.
    </p>
  );
}

export function NewerBar() {
  return (
    <p class="newer-bar" role="status">
      A newer version of this page is here.{" "}
      <button type="button" onClick={() => location.reload()}>
        Load it
      </button>
    </p>
  );
}

export function SimulatedLine({ page }: { page: PageFrame }) {
  const { simulated, clockSpeed } = page.yard.yard;
  if (!simulated) return null;
  return (
    <p class="simulated">
      Simulated yard: invented trees
      {clockSpeed === 1 ? "" : `, the clock runs ${clockSpeed} times as fast`}.
    </p>
  );
}

export function ViewerLine() {
  return <p class="simulated">You came by a viewing link: look around; changes are the owner’s.</p>;
}
