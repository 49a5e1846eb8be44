// Hooks around the API: asking for something to show, and sending something a person decided.
import { useEffect, useState } from "preact/hooks";
import { ApiError, callApi } from "./api.ts";

export type Asked<T> = {
  value: T | undefined;
  problem: string | undefined;
  /** The value answers what is asked now, not what was asked before. */
  isCurrent: boolean;
};

type Answered<T> = Pick<Asked<T>, "value" | "problem"> & { of?: string };

/** GETs `path` now and whenever it or `again` changes, null asks nothing; the last answer stays until the next. */
export function useAsked<T>(path: string | null, again: unknown = 0): Asked<T> {
  const [asked, setAsked] = useState<Answered<T>>({ value: undefined, problem: undefined });
  useEffect(() => {
    if (path === null) return;
    let isCurrent = true;
    let retry: ReturnType<typeof setTimeout> | undefined;
    const ask = () => {
      callApi<T>("GET", path).then(
        (value) => isCurrent && setAsked({ value, of: path, problem: undefined }),
        (error) => {
          if (!isCurrent) return;
          setAsked((before) => ({ ...before, problem: problemFromError(error) }));
          if (isUnanswered(error)) retry = setTimeout(ask, retryMs);
        },
      );
    };
    ask();
    return () => {
      isCurrent = false;
      clearTimeout(retry);
    };
  }, [path, again]);
  const { value, problem, of } = asked;
  return { value, problem, isCurrent: path === null || of === path };
}

/** A server that doesn't answer is asked again until it does. */
const retryMs = 3000;

function isUnanswered(error: unknown): boolean {
  return error instanceof ApiError && error.status === 0;
}

export function problemFromError(error: unknown): string {
  return error instanceof ApiError ? error.message : `Something went wrong here: ${String(error)}`;
}

export type Sending = {
  busy: boolean;
  problem: string | undefined;
  /** Said once it has worked. */
  done: string | undefined;
  /** Runs what is to be sent; a refusal becomes `problem`. */
  send: (work: () => Promise<unknown>, doneWords?: string) => void;
  /** Says why nothing is sent. */
  refuse: (problem: string) => void;
};

export function useSending(): Sending {
  const [now, setNow] = useState<Omit<Sending, "send" | "refuse">>({
    busy: false,
    problem: undefined,
    done: undefined,
  });
  const send: Sending["send"] = (work, doneWords) => {
    setNow({ busy: true, problem: undefined, done: undefined });
    work().then(
      () => setNow({ busy: false, problem: undefined, done: doneWords }),
      (error) => setNow({ busy: false, problem: problemFromError(error), done: undefined }),
    );
  };
  const refuse = (problem: string) => setNow({ busy: false, problem, done: undefined });
  return { ...now, send, refuse };
}

/** A number that grows every `everyMs` of real time, to ask again as time goes by. */
export function useTick(everyMs: number): number {
  const [tick, setTick] = useState(0);
  useEffect(() => {
    const timer = setInterval(() => setTick((count) => count + 1), everyMs);
    return () => clearInterval(timer);
  }, [everyMs]);
  return tick;
}
