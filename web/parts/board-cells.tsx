// What a person can ask of a board: blink, set a cell's zero, weigh its past anew. Its answer stands below.
import { useState } from "preact/hooks";
import { formatMass } from "../../shared/people/format.ts";
import type { BoardView } from "../../shared/wire/api.ts";
import type { CorrectionView } from "../../shared/wire/corrections.ts";
import type { OrderAnswer, OrderPost } from "../../shared/wire/orders.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import { formatMoment } from "../format.ts";
import { labelOfBucket, type PageFrame } from "../page-frame.ts";
import { CorrectionForm } from "./correction-form.tsx";
import { Outcome } from "./outcome.tsx";

type Cell = BoardView["cells"][number];
type Board = { board: BoardView; page: PageFrame };

export type Ordering = {
  busy: boolean;
  problem: string | undefined;
  done: string | undefined;
  /** Asks the board; gives what it answered, undefined when the server refused. */
  give: (post: OrderPost, then?: (answer: OrderAnswer) => void) => void;
};

/** One order at a time, and the board's words on the last one. */
function useOrder(board: string): Ordering {
  const [answer, setAnswer] = useState<OrderAnswer | undefined>(undefined);
  const sending = useSending();
  const give: Ordering["give"] = (post, then) => {
    setAnswer(undefined);
    sending.send(async () => {
      const got = await callApi<OrderAnswer>("POST", `/boards/${board}/orders`, post);
      setAnswer(got);
      then?.(got);
    });
  };
  const refusal = answer?.done === false ? answer.text : undefined;
  return {
    busy: sending.busy,
    problem: sending.problem ?? refusal,
    done: sending.busy ? `Asking board ${board}…` : answer?.text,
    give,
  };
}

export function BoardCells({ board, page }: Board) {
  const [made, setMade] = useState(0);
  const { value } = useAsked<CorrectionView[]>("/corrections", made);
  const lamp = useOrder(board.name);
  return (
    <details class="board-cells">
      <summary>
        Cells and lamp<span class="unseen"> of board {board.name}</span>
      </summary>
      {!board.online && <p class="soft">The board is away: it can be asked nothing now.</p>}
      <div class="row-ways">
        <button
          type="button"
          disabled={lamp.busy || !board.online}
          onClick={() => lamp.give({ order: "identify" })}
        >
          Blink its lamp
        </button>
        <button
          type="button"
          disabled={lamp.busy || !board.online}
          onClick={() => lamp.give({ order: "lamp", lamp: "off" })}
        >
          Lamp or buzzer off
        </button>
      </div>
      <Outcome sending={lamp} />
      <ul class="rows">
        {board.cells.map((cell) => (
          <CellRow
            key={cell.cell}
            cell={cell}
            board={board}
            page={page}
            corrections={(value ?? []).filter((one) => one.cell === cell.cell)}
            changed={() => setMade((count) => count + 1)}
          />
        ))}
      </ul>
    </details>
  );
}

type CellProps = Board & { cell: Cell; corrections: CorrectionView[]; changed: () => void };

function CellRow(props: CellProps) {
  const { cell, board, page, corrections, changed } = props;
  const [open, setOpen] = useState<"zero" | "past" | undefined>(undefined);
  const ordering = useOrder(board.name);
  const [, name = ""] = cell.cell.split("/");
  const ask = (which: "zero" | "past") => setOpen(open === which ? undefined : which);
  return (
    <li class="cell-row">
      <span class="row-words">
        <b class="row-name">{name}</b> {cellState(cell, page)}
      </span>
      <span class="row-ways">
        <button
          type="button"
          aria-expanded={open === "zero"}
          disabled={!board.online}
          onClick={() => ask("zero")}
        >
          Set zero<span class="unseen"> of {cell.cell}</span>
        </button>
        <button type="button" aria-expanded={open === "past"} onClick={() => ask("past")}>
          Correct its past<span class="unseen">: {cell.cell}</span>
        </button>
      </span>
      {open === "zero" && <ZeroQuestion name={name} ordering={ordering} />}
      {open === "past" && (
        <CorrectionForm cell={cell.cell} page={page} ordering={ordering} changed={changed} />
      )}
      {corrections.map((correction) => (
        <CorrectionRow key={correction.id} correction={correction} page={page} changed={changed} />
      ))}
    </li>
  );
}

/** "weighs 7.31 kg, Gate hangs there" */
function cellState(cell: Cell, page: PageFrame): string {
  const weight =
    cell.fault !== null
      ? `has a fault: ${cell.fault}`
      : cell.massKg === null
        ? "was heard"
        : `weighs ${formatMass(cell.massKg, page.units)}`;
  return cell.bucketId === null
    ? `${weight}, no bucket`
    : `${weight}, ${labelOfBucket(page.yard, cell.bucketId)} hangs there`;
}

function ZeroQuestion({ name, ordering }: { name: string; ordering: Ordering }) {
  return (
    <div class="cell-question">
      <p>
        Take the bucket and its lid off {name} first; a hook or plate that always stays may stay. An
        empty bucket left on would be counted as nothing, and its sap would come out too little.
      </p>
      <button
        type="button"
        disabled={ordering.busy}
        onClick={() => ordering.give({ order: "zero", cell: name })}
      >
        {name} is bare: set its zero
      </button>
      <Outcome sending={ordering} />
    </div>
  );
}

function CorrectionRow(props: {
  correction: CorrectionView;
  page: PageFrame;
  changed: () => void;
}) {
  const { correction, page, changed } = props;
  const sending = useSending();
  const undo = () =>
    sending.send(async () => {
      await callApi("DELETE", `/corrections/${correction.id}`);
      changed();
      await page.refresh();
    });
  return (
    <div class="cell-question">
      <p class="soft">
        Corrected {correction.fromMs > 0 && `from ${formatMoment(correction.fromMs, page)} `}until{" "}
        {formatMoment(correction.untilMs, page)}: {correction.countsPerG.toFixed(2)} counts a gram,{" "}
        {Math.round(correction.zeroCounts)} when bare.
      </p>
      <button type="button" disabled={sending.busy} onClick={undo}>
        Undo<span class="unseen"> this correction of {correction.cell}</span>
      </button>
      {sending.problem !== undefined && <Outcome sending={sending} />}
    </div>
  );
}
