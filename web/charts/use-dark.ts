// Whether the browser is in its dark colours now.
import { useEffect, useState } from "preact/hooks";

export function useDark(): boolean {
  const [dark, setDark] = useState(matchMedia("(prefers-color-scheme: dark)").matches);
  useEffect(() => {
    const query = matchMedia("(prefers-color-scheme: dark)");
    const seen = () => setDark(query.matches);
    query.addEventListener("change", seen);
    return () => query.removeEventListener("change", seen);
  }, []);
  return dark;
}
