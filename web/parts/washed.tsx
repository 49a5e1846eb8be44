// The mark that a bucket was washed: what clings to its wall then hardly spoils the next sap.
import type { BucketView } from "../../shared/wire/api.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import { formatMoment } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { Outcome } from "./outcome.tsx";

export function Washed({ bucket, page }: { bucket: BucketView; page: PageFrame }) {
  const sending = useSending();
  const path = `/buckets/${bucket.id}/washed`;
  const change = (method: "POST" | "DELETE", words: string) =>
    sending.send(async () => {
      await callApi(method, path, method === "POST" ? {} : undefined);
      await page.refresh();
    }, words);
  return (
    <section>
      <h2>Washing</h2>
      <p class="soft">
        {bucket.washedMs === null
          ? "Not marked as washed yet. A little old sap left on the wall takes days off the keeping of what runs in next."
          : `Last washed when it was emptied, ${formatMoment(bucket.washedMs, page)}.`}
      </p>
      <button
        type="button"
        disabled={sending.busy}
        onClick={() => change("POST", "Marked as washed")}
      >
        I washed it when I emptied it
      </button>
      {bucket.washedMs !== null && (
        <button
          type="button"
          class="quiet"
          disabled={sending.busy}
          onClick={() => change("DELETE", "Taken back")}
        >
          Take the last mark back
        </button>
      )}
      <Outcome sending={sending} />
    </section>
  );
}
