// Which trees stand out among the lines on one another: each with its manner of line and what it says.
import { type LineManner, lineManners } from "./line-manners.ts";

export function LinePicks(props: {
  trees: { treeId: string; label: string; said: string }[];
  manners: ReadonlyMap<string, LineManner>;
  pick: (treeId: string) => void;
}) {
  const { trees, manners, pick } = props;
  const isFull = manners.size >= lineManners.length;
  return (
    <fieldset class="line-picks">
      <legend class="soft">
        Trees that stand out, {lineManners.length} at most; the others are drawn faintly
      </legend>
      <ul>
        {trees.map(({ treeId, label, said }) => {
          const manner = manners.get(treeId);
          return (
            <li key={treeId}>
              <label>
                <input
                  type="checkbox"
                  checked={manner !== undefined}
                  disabled={isFull && manner === undefined}
                  onChange={() => pick(treeId)}
                />
                <LineKey manner={manner} />
                <span data-drawn>{label}</span>
                <span class="soft" data-drawn>
                  {said}
                </span>
              </label>
            </li>
          );
        })}
      </ul>
    </fieldset>
  );
}

function LineKey({ manner }: { manner: LineManner | undefined }) {
  const { ink = "rule", dash = [], width = 1 } = manner ?? {};
  return (
    <svg class="line-key" viewBox="0 0 40 8" aria-hidden="true">
      <line
        class={`is-${ink}`}
        x1="0"
        x2="40"
        y1="4"
        y2="4"
        stroke-width={width}
        {...(dash.length > 0 && { "stroke-dasharray": dash.join(" ") })}
      />
    </svg>
  );
}
