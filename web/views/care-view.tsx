// The server itself: room on its disk, backups, clocks against the boards', version.
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import {
  backupWords,
  boardWords,
  certificateWords,
  clockWords,
  diskWords,
} from "../../shared/people/care.ts";
import { formatAge, formatCount } from "../../shared/people/format.ts";
import type { Care } from "../../shared/wire/care.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending, useTick } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { AlarmRow } from "../parts/alarm-row.tsx";
import { Outcome } from "../parts/outcome.tsx";

const againMs = 10_000;

export function CarePage({ page }: { page: PageFrame }) {
  const [backups, setBackups] = useState(0);
  const { value, problem } = useAsked<Care>("/care", useTick(againMs) + backups);
  const changed = () => setBackups((count) => count + 1);
  const alarms = page.yard.alarms.filter(({ kind }) => kind === "care");
  return (
    <>
      <h2>How is the server itself?</h2>
      <Outcome sending={{ problem, done: undefined }} />
      {alarms.length > 0 && (
        <ul class="rows">
          {alarms.map((alarm) => (
            <AlarmRow key={alarm.id} alarm={alarm} page={page} />
          ))}
        </ul>
      )}
      {value !== undefined && <CareSheet care={value} />}
      {value !== undefined && page.mayChange && <BackUp changed={changed} />}
      {value !== undefined && value.boards.length > 0 && <Boards care={value} />}
    </>
  );
}

function CareSheet({ care }: { care: Care }) {
  const { nowMs, startedAtMs, version, node, waitingPacks } = care;
  const { folder, daily } = care.backups;
  return (
    <>
      <dl class="facts is-wide">
        <Fact name="Disk">{diskWords(care.disk)}</Fact>
        <Fact name="Waiting">
          {waitingPacks === 0 ? "nothing" : formatCount(waitingPacks, "pack")} to be written
        </Fact>
        <Fact name="Certificate">{certificateWords(care)}</Fact>
        <Fact name="Started">{formatAge(nowMs - startedAtMs)}</Fact>
        <Fact name="Version">
          {version}, on Node {node}
        </Fact>
      </dl>
      <h3>Backups</h3>
      <p>{backupWords(care)}</p>
      <p class="soft">
        {daily ? "One is made each day" : "None is made by itself in a simulated yard"}, in{" "}
        <code>{folder}</code>.
      </p>
    </>
  );
}

function Fact({ name, children }: { name: string; children: ComponentChildren }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

function BackUp({ changed }: { changed: () => void }) {
  const sending = useSending();
  const backUp = () =>
    sending.send(async () => {
      await callApi("POST", "/care/backup", {});
      changed();
    }, "Made and checked");
  return (
    <>
      <p class="row-ways">
        <button type="button" disabled={sending.busy} onClick={backUp}>
          {sending.busy ? "Copying and checking…" : "Back up now"}
        </button>
        <a class="button is-quiet" href="/api/v1/backup" download>
          Take a copy along
        </a>
      </p>
      <Outcome sending={sending} />
      <p class="soft">
        A copy on another machine survives this one. It holds the addresses that notices go to: keep
        it to yourself.
      </p>
    </>
  );
}

function Boards({ care }: { care: Care }) {
  return (
    <section>
      <h3>Boards</h3>
      <ul class="rows">
        {care.boards.map(({ name, online, lastHeardMs, clockAheadMs }) => (
          <li key={name}>
            <span class="row-words">
              <b class="row-name">{name}</b> {boardWords({ online, lastHeardMs }, care.nowMs)}
              <span class="soft">
                heard {formatAge(care.nowMs - lastHeardMs)}, {clockWords(clockAheadMs)}
              </span>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
