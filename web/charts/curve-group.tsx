// A group of charts that the keyboard reaches as one: arrows read along, + and − zoom, with Shift they move.
import type { ComponentChildren } from "preact";
import { moveOfKey, moveSpan, type TimeWindow } from "./use-time-window.ts";

export function CurveGroup(props: {
  label: string;
  window: Pick<TimeWindow, "control">;
  /** Reads one place further along, or back. */
  readOn: (by: 1 | -1) => void;
  children: ComponentChildren;
}) {
  const { label, window, readOn, children } = props;
  const press = (event: KeyboardEvent) => {
    if (event.target instanceof HTMLInputElement || event.ctrlKey || event.metaKey) return;
    const move = moveOfKey(event);
    if (move !== undefined) moveSpan(window.control, move);
    else if (event.key === "ArrowLeft") readOn(-1);
    else if (event.key === "ArrowRight") readOn(1);
    else return;
    event.preventDefault();
  };
  return (
    // biome-ignore lint/a11y/useSemanticElements: no element stands for a group of charts that takes keys
    // biome-ignore lint/a11y/noNoninteractiveTabindex: the curves are moved and read by keyboard
    <div class="curve-group" role="group" aria-label={label} tabIndex={0} onKeyDown={press}>
      {children}
    </div>
  );
}
