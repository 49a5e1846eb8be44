// How far back to look, and the buttons that move and zoom what is in sight.
import { Choice } from "../parts/choice.tsx";
import { spanNames, spanWords } from "./spans.ts";
import { moveSpan, type SpanMove, type TimeWindow } from "./use-time-window.ts";

const moves: { move: SpanMove; words: string; sign: string }[] = [
  { move: "earlier", words: "Earlier", sign: "←" },
  { move: "later", words: "Later", sign: "→" },
  { move: "closer", words: "Closer", sign: "+" },
  { move: "wider", words: "Wider", sign: "−" },
];

export function WindowBar({ window, legend }: { window: TimeWindow; legend: string }) {
  return (
    <div class="window-bar not-printed">
      <Choice
        legend={legend}
        names={spanNames}
        words={spanWords}
        now={window.name}
        choose={window.choose}
      />
      <MoveButtons window={window} />
    </div>
  );
}

function MoveButtons({ window }: { window: TimeWindow }) {
  return (
    <p class="moves stays">
      {moves.map(({ move, words, sign }) => (
        <button
          key={move}
          type="button"
          class="quiet"
          aria-label={words}
          title={words}
          onClick={() => moveSpan(window.control, move)}
        >
          <span aria-hidden="true">{sign}</span>
        </button>
      ))}
    </p>
  );
}

/** What hands can do on the curves, said once below them. */
export function HandsHint() {
  return (
    <p class="soft not-printed">
      Drag to move along, pinch or turn the wheel with Ctrl to look closer, tap or hold to read.
      Keys: + and −, Shift with the arrows, Home, End.
    </p>
  );
}
