// Set-up: new cells, buckets, the yard, notices, boards.
import { boardWords } from "../../shared/people/care.ts";
import { contradictionWords } from "../../shared/people/contradiction.ts";
import {
  formatAge,
  formatCount,
  formatMass,
  formatTemp,
  formatVolume,
} from "../../shared/people/format.ts";
import type { BoardView, BucketView } from "../../shared/wire/api.ts";
import type { Tree } from "../../shared/wire/records.ts";
import type { Session } from "../../shared/wire/viewing.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import { later } from "../later.tsx";
import type { PageFrame } from "../page-frame.ts";
import { AskedButton } from "../parts/asked-button.tsx";
import { BoardCells } from "../parts/board-cells.tsx";
import { ParkButton } from "../parts/bucket-form.tsx";
import { cellWords, NewBucketForm } from "../parts/new-bucket-form.tsx";
import { NoticePeople } from "../parts/notice-people.tsx";
import { NoticesSection } from "../parts/notices-form.tsx";
import { Outcome } from "../parts/outcome.tsx";
import { ThisDevice } from "../parts/this-device.tsx";
import { ViewingLinks } from "../parts/viewing-links.tsx";
import { YardForm } from "../parts/yard-form.tsx";
import { hashFromRoute } from "../routes.ts";
import { cellsWithoutBucket } from "./yard-view.tsx";

const FirstSteps = later(async () => (await import("../parts/first-steps.tsx")).FirstSteps);

export function SetupPage({ page, session }: { page: PageFrame; session: Session | undefined }) {
  const { boards, buckets } = page.yard;
  return (
    <>
      {boards.length === 0 && <FirstSteps page={page} />}
      <NewCells page={page} />
      {(buckets.length > 0 || page.mayChange) && <Buckets page={page} />}
      {boards.length > 0 && (
        <section>
          <h2>Boards</h2>
          <ul class="rows">
            {boards.map((board) => (
              <BoardRow key={board.name} board={board} page={page} />
            ))}
          </ul>
        </section>
      )}
      <section>
        <h2>The yard</h2>
        <YardForm page={page} />
      </section>
      {page.mayChange && (
        <section>
          <h2>Who gets notices</h2>
          <NoticePeople />
          <h3>The mail server, and notices to everyone</h3>
          <NoticesSection />
        </section>
      )}
      {page.mayChange && session?.passphraseSet === true && <ViewingLinks page={page} />}
      <ThisDevice />
      {session?.passphraseSet === true && <SignOut />}
    </>
  );
}

function NewCells({ page }: { page: PageFrame }) {
  const cells = cellsWithoutBucket(page.yard);
  const { value } = useAsked<Tree[]>("/trees", page.yard.buckets.length);
  if (cells.length === 0) return null;
  return (
    <section>
      <h2>Newly heard</h2>
      {cells.map((cell, index) => (
        <details key={cell.cell} class="fold" open={index === 0}>
          <summary>{cellWords(cell, page.units)}</summary>
          <NewBucketForm cell={cell} trees={value ?? []} page={page} />
        </details>
      ))}
    </section>
  );
}

function Buckets({ page }: { page: PageFrame }) {
  return (
    <section>
      <h2>Buckets</h2>
      <ul class="rows">
        {page.yard.buckets.map((bucket) => (
          <BucketRow key={bucket.id} bucket={bucket} page={page} />
        ))}
      </ul>
      {page.mayChange && <WithoutCell page={page} />}
    </section>
  );
}

function WithoutCell({ page }: { page: PageFrame }) {
  const { value } = useAsked<Tree[]>("/trees", page.yard.buckets.length);
  return (
    <details class="fold">
      <summary>Add a bucket without a cell</summary>
      <p class="soft">Nothing weighs it: what it gives is written down by hand under Round.</p>
      <NewBucketForm cell={null} trees={value ?? []} page={page} />
    </details>
  );
}

function BucketRow({ bucket, page }: { bucket: BucketView; page: PageFrame }) {
  const { units } = page;
  return (
    <li>
      <span class="row-words">
        <b class="row-name">{bucket.label}</b>{" "}
        {bucket.tree === null ? "no tree" : `on ${bucket.tree.label}`}
        <span class="soft">
          {bucket.cell ?? "no cell"}, holds {formatVolume(bucket.capacityL, units)}
          {bucket.cell !== null && `, weighs ${formatMass(bucket.emptyKg, units)} empty`}
        </span>
        {bucket.contradiction !== null && (
          <span class="margin-note">{contradictionWords(bucket.contradiction)}</span>
        )}
      </span>
      <span class="row-ways">
        <a class="button is-quiet" href={hashFromRoute({ view: "bucket", id: bucket.id })}>
          Change<span class="unseen"> {bucket.label}</span>
        </a>
        <ParkButton bucket={bucket} page={page} />
      </span>
    </li>
  );
}

function BoardRow({ board, page }: { board: BoardView; page: PageFrame }) {
  const { units, nowMs } = page;
  const parts = [
    formatCount(board.cells.length, "cell"),
    board.airC === null ? undefined : `air ${formatTemp(board.airC, units)}`,
    board.supplyV === null ? undefined : `supply ${board.supplyV.toFixed(1)} V`,
    board.lastHeardMs === null ? "never heard" : `heard ${formatAge(nowMs - board.lastHeardMs)}`,
    board.program ?? undefined,
  ];
  return (
    <li>
      <span class="row-words">
        <b class="row-name">{board.name}</b> {boardWords(board, nowMs)}
        <span class="soft">{parts.filter((part) => part !== undefined).join(", ")}</span>
      </span>
      {page.mayChange && canPutAway(board) && <PutAway board={board} page={page} />}
      {board.cells.length > 0 && <BoardCells board={board} page={page} />}
    </li>
  );
}

function canPutAway({ online, cells }: BoardView): boolean {
  return !online && cells.every(({ bucketId }) => bucketId === null);
}

function PutAway({ board, page }: { board: BoardView; page: PageFrame }) {
  const sending = useSending();
  const putAway = () =>
    sending.send(async () => {
      await callApi("DELETE", `/boards/${board.name}`);
      await page.refresh();
    });
  return (
    <span class="row-ways">
      <AskedButton
        question={`Show and miss board ${board.name} no more until it speaks again? Its readings stay.`}
        yes="Put it away"
        act={putAway}
        busy={sending.busy}
        quiet
      >
        Put away<span class="unseen"> board {board.name}</span>
      </AskedButton>
      {sending.problem !== undefined && <Outcome sending={sending} />}
    </span>
  );
}

function SignOut() {
  const sending = useSending();
  const leave = () =>
    sending.send(async () => {
      await callApi("DELETE", "/session");
      location.reload();
    });
  return (
    <p>
      <button type="button" class="quiet stays" onClick={leave}>
        Sign out
      </button>
    </p>
  );
}
