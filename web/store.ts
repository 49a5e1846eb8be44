// Holds the page's state and tells the views when it changed.
import { useEffect, useState } from "preact/hooks";
import { yardNowMs } from "./clock.ts";
import { emptyState, nextState, type PageAction, type PageState } from "./state.ts";

export type Store = {
  get(): PageState;
  act(action: PageAction): void;
  /** Calls back after every change; returns the way to stop. */
  watch(seen: () => void): () => void;
};

export function createStore(initial: PageState = emptyState): Store {
  let state = initial;
  const watchers = new Set<() => void>();
  return {
    get: () => state,
    act(action) {
      state = nextState(state, action);
      for (const seen of watchers) seen();
    },
    watch(seen) {
      watchers.add(seen);
      return () => watchers.delete(seen);
    },
  };
}

export function useStore(store: Store): PageState {
  const [state, setState] = useState(store.get());
  useEffect(() => {
    setState(store.get());
    return store.watch(() => setState(store.get()));
  }, [store]);
  return state;
}

/** The yard's time, looked at again every `everyMs` of real time. */
export function useYardNowMs(state: PageState, everyMs = 1000): number {
  const [pageMs, setPageMs] = useState(performance.now());
  useEffect(() => {
    const timer = setInterval(() => setPageMs(performance.now()), everyMs);
    return () => clearInterval(timer);
  }, [everyMs]);
  if (state.clock === undefined) return 0;
  return yardNowMs(state.clock, Math.max(pageMs, state.clock.pageMs));
}
