// A view whose code is fetched when it is first opened, so that the pails stand sooner.
import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import { Outcome } from "./parts/outcome.tsx";

/** The view of a module, once it is there; `load` is asked once and kept. */
export function later<Props extends object>(
  load: () => Promise<ComponentType<Props>>,
): ComponentType<Props> {
  let loaded: ComponentType<Props> | undefined;
  return function Later(props: Props) {
    const [View, setView] = useState<ComponentType<Props> | undefined>(() => loaded);
    const [problem, setProblem] = useState<string | undefined>(undefined);
    useEffect(() => {
      if (loaded !== undefined) return;
      load().then(
        (view) => {
          loaded = view;
          setView(() => view);
        },
        () => setProblem("This part of the page did not come. Is the server running? Load again."),
      );
    }, []);
    return View === undefined ? (
      <Outcome sending={{ problem, done: undefined }} />
    ) : (
      <View {...props} />
    );
  };
}
