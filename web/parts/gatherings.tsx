// The gatherings of one bucket: strike a false one, correct its litres, write one down by hand.
import { useState } from "preact/hooks";
import { formatVolume } from "../../shared/people/format.ts";
import { quantities } from "../../shared/quantities.ts";
import type { Gathering } from "../../shared/wire/records.ts";
import { callApi, spanQuery } from "../api.ts";
import { type Sending, useAsked, useSending, useTick } from "../asking.ts";
import { areRight, useEntry } from "../entry.ts";
import { formatMoment } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { EntryField } from "./entry-field.tsx";
import { Form } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

type Rows = { page: PageFrame; bucketId: string };

export function Gatherings({ page, bucketId }: Rows) {
  const [asked, setAsked] = useState(0);
  const tick = useTick(20_000);
  const fromMs = page.yard.season.firstReadingMs ?? 0;
  const toMs = page.nowMs + 3_600_000;
  const path = `/gatherings${spanQuery({ fromMs, toMs: Math.ceil(toMs / 3_600_000) * 3_600_000 })}`;
  const { value, problem } = useAsked<Gathering[]>(path, `${asked} ${tick}`);
  const sending = useSending();
  const rows = (value ?? [])
    .filter((gathering) => gathering.bucketId === bucketId)
    .sort((a, b) => b.atMs - a.atMs);
  const change = (work: () => Promise<unknown>, words?: string) =>
    sending.send(async () => {
      await work();
      setAsked((count) => count + 1);
      await page.refresh();
    }, words);
  return (
    <section>
      <h2>Gatherings</h2>
      {rows.length === 0 && <p class="soft">None yet this season.</p>}
      <ul class="rows">
        {rows.map((gathering) => (
          <GatheringRow key={gathering.id} gathering={gathering} page={page} change={change} />
        ))}
      </ul>
      <ByHand page={page} bucketId={bucketId} change={change} />
      <Outcome sending={{ problem: sending.problem ?? problem, done: sending.done }} />
    </section>
  );
}

function GatheringRow(props: { gathering: Gathering; page: PageFrame; change: Sending["send"] }) {
  const { gathering, page, change } = props;
  const [isOpen, setOpen] = useState(false);
  const path = `/gatherings/${gathering.id}`;
  const correct = (volumeL: number) => {
    setOpen(false);
    change(() => callApi("PATCH", path, { volumeL }), "Corrected");
  };
  return (
    <li class={gathering.struck ? "is-struck" : ""}>
      <span class="row-words">
        <b>{formatVolume(gathering.volumeL, page.units)}</b> {formatMoment(gathering.atMs, page)},{" "}
        {gathering.by === "cell" ? "noticed by the cell" : "written by hand"}
        {gathering.struck && <i> struck: not a gathering</i>}
      </span>
      {!isOpen ? (
        <span class="row-ways">
          {!gathering.struck && (
            <button type="button" onClick={() => setOpen(true)}>
              Correct
            </button>
          )}
          <button
            type="button"
            onClick={() => change(() => callApi("PATCH", path, { struck: !gathering.struck }))}
          >
            {gathering.struck ? "It was one after all" : "That wasn't a gathering"}
          </button>
        </span>
      ) : (
        <Correction gathering={gathering} page={page} correct={correct} />
      )}
    </li>
  );
}

function Correction(props: {
  gathering: Gathering;
  page: PageFrame;
  correct: (volumeL: number) => void;
}) {
  const { units } = props.page;
  const before = props.gathering.volumeL;
  const gathered = useEntry({ quantity: quantities.gatheredL, units, before });
  const send = () => {
    if (areRight([gathered])) props.correct(gathered.value ?? before);
  };
  return (
    <Form send={send} label="Correct this gathering">
      <EntryField label="Gathered" entry={gathered} />
      <button type="submit">Save</button>
    </Form>
  );
}

function ByHand({ page, bucketId, change }: Rows & { change: Sending["send"] }) {
  const gathered = useEntry({ quantity: quantities.gatheredL, units: page.units });
  const send = () => {
    if (!areRight([gathered])) return;
    const volumeL = gathered.value;
    gathered.reset();
    change(() => callApi("POST", "/gatherings", { bucketId, volumeL }), "Written down");
  };
  return (
    <Form send={send} label="Write a gathering down by hand">
      <EntryField label="Gathered just now" entry={gathered} />
      <button type="submit">Write it down</button>
    </Form>
  );
}
