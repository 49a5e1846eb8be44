// What came of something sent: the refusal in the server's words, or a short done.
import type { Sending } from "../asking.ts";

export function Outcome({ sending }: { sending: Pick<Sending, "problem" | "done"> }) {
  if (sending.problem !== undefined) {
    return (
      <p class="problem" role="alert">
        {sending.problem}
      </p>
    );
  }
  return (
    <p class="done" role="status">
      {sending.done ?? ""}
    </p>
  );
}
