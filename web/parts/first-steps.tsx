// An empty yard's way to its first running bucket: what to type, and marks that set themselves.

import { useEffect, useState } from "preact/hooks";
import { formatMass } from "../../shared/people/format.ts";
import {
  type Command,
  cellToHang,
  elsewhereCommands,
  firstSteps,
  joiningCommands,
} from "../../shared/people/joining.ts";
import type { Joining } from "../../shared/wire/joining.ts";
import type { Tree } from "../../shared/wire/records.ts";
import { useAsked } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { hashFromRoute } from "../routes.ts";
import { cellWords, NewBucketForm } from "./new-bucket-form.tsx";

export function FirstSteps({ page }: { page: PageFrame }) {
  const { boards, buckets } = page.yard;
  const steps = firstSteps(boards, buckets);
  const next = steps.find(({ done }) => !done);
  return (
    <section class="first-steps" aria-label="First steps">
      <p class={next === undefined ? "sentence" : "sentence is-calling"} role="status">
        {next === undefined
          ? "The first bucket is being weighed."
          : next.words.replace(/[^?]$/, "$&.")}
      </p>
      <ol class="steps">
        {steps.map((step) => (
          <li
            key={step.key}
            class={step.done ? "is-done" : ""}
            aria-current={step === next ? "step" : undefined}
          >
            <StepMark isDone={step.done} />
            <div>
              <p class="step-words">
                {step.done ? step.words : step.task}
                <span class="unseen">{step.done ? ", done" : ", still to do"}</span>
              </p>
              {step === next && <Help page={page} step={step.key} />}
            </div>
          </li>
        ))}
      </ol>
    </section>
  );
}

function StepMark({ isDone }: { isDone: boolean }) {
  return (
    <svg class="step-mark" viewBox="0 0 32 32" aria-hidden="true">
      <circle cx="16" cy="16" r="13" />
      {isDone && <path d="M9 16.5 L14.5 22 L24 10.500" />}
    </svg>
  );
}

function Help({ page, step }: { page: PageFrame; step: string }) {
  if (!page.mayChange) return <p class="soft">The owner does this.</p>;
  if (step === "heard") return <Commands />;
  if (step === "loaded") return <CellsNow page={page} />;
  if (step === "hung") return <Hang page={page} />;
  return null;
}

function Commands() {
  const { value: joining } = useAsked<Joining>("/joining");
  if (joining === undefined) return null;
  const elsewhere = elsewhereCommands(joining);
  return (
    <>
      <CommandList commands={joiningCommands(joining, location.hostname)} />
      {elsewhere.length > 0 && (
        <details class="why">
          <summary>The board is another computer</summary>
          <CommandList commands={elsewhere} />
        </details>
      )}
      {joining.tls && (
        <p class="soft">
          The board has to trust data/certificate/authority.crt of this server: copy it there.
        </p>
      )}
      <p class="soft">Or let anything that speaks MQTT publish SenML packs: see the README.</p>
    </>
  );
}

function CommandList({ commands }: { commands: Command[] }) {
  return (
    <ol class="commands">
      {commands.map(({ where, command, words }) => (
        <li key={command}>
          <span class="soft">
            On the {where === "server" ? "server" : "board's computer"}: {words}
          </span>
          <code>{command}</code>
        </li>
      ))}
    </ol>
  );
}

function CellsNow({ page }: { page: PageFrame }) {
  const cells = page.yard.boards.flatMap((board) => board.cells);
  if (cells.length === 0) return <p class="soft">No cell has sent a weight yet.</p>;
  return (
    <ul class="cells-now">
      {cells.map(({ cell, massKg, fault }) => (
        <li key={cell}>
          {cell}{" "}
          {massKg === null ? (fault ?? "has no weight") : `feels ${formatMass(massKg, page.units)}`}
        </li>
      ))}
    </ul>
  );
}

/** The same cell for as long as somebody may be filling in its form. */
function Hang({ page }: { page: PageFrame }) {
  const { value } = useAsked<Tree[]>("/trees");
  const [held, hold] = useState<string>();
  const { boards } = page.yard;
  const cell = cellToHang(boards, held);
  const name = cell?.cell;
  useEffect(() => hold(name), [name]);
  if (cell === undefined) return null;
  const count = boards.reduce((sum, board) => sum + board.cells.length, 0);
  return (
    <>
      <h3>{cellWords(cell, page.units)}</h3>
      <NewBucketForm key={name} cell={cell} trees={value ?? []} page={page} />
      {count > 1 && (
        <p>
          <a href={hashFromRoute({ view: "setup" })}>All {count} cells are under Set-up</a>
        </p>
      )}
    </>
  );
}
