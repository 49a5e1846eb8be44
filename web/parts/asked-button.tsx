// A button for what is not easily taken back: it asks once before it does it.
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";

export function AskedButton(props: {
  /** What is asked, and what the two answers say; without a question it is done at once. */
  question: string | undefined;
  yes: string;
  act: () => void;
  busy?: boolean;
  quiet?: boolean;
  children: ComponentChildren;
}) {
  const { question, yes, act, busy = false, quiet = false } = props;
  const [isAsking, setAsking] = useState(false);
  const answer = (isYes: boolean) => () => {
    setAsking(false);
    if (isYes) act();
  };
  if (!isAsking || question === undefined) {
    return (
      <button
        type="button"
        class={quiet ? "quiet" : undefined}
        disabled={busy}
        onClick={question === undefined ? act : () => setAsking(true)}
      >
        {props.children}
      </button>
    );
  }
  return <Question question={question} yes={yes} answer={answer} />;
}

/** A question with its two answers. */
export function Question(props: {
  question: string;
  yes: string;
  answer: (isYes: boolean) => () => void;
}) {
  const { question, yes, answer } = props;
  return (
    <span class="asked">
      <span class="asked-words">{question}</span>
      <button type="button" onClick={answer(true)}>
        {yes}
      </button>
      <button type="button" class="quiet" onClick={answer(false)}>
        No
      </button>
    </span>
  );
}
