// Keeps small settings as JSON under a name.
import type { Sqlite } from "./sqlite.ts";

export type Settings = ReturnType<typeof createSettings>;

export function createSettings(sqlite: Sqlite) {
  const get = sqlite.prepare("SELECT value FROM setting WHERE name = ?").pluck();
  const set = sqlite.prepare(
    `INSERT INTO setting (name, value) VALUES (?, ?)
     ON CONFLICT (name) DO UPDATE SET value = excluded.value`,
  );
  const remove = sqlite.prepare("DELETE FROM setting WHERE name = ?");
  return {
    /** What was set; undefined when nothing was. */
    getSetting(name: string): unknown {
      const text = get.get(name) as string | undefined;
      return text === undefined ? undefined : JSON.parse(text);
    },
    setSetting(name: string, value: unknown): void {
      set.run(name, JSON.stringify(value));
    },
    removeSetting(name: string): void {
      remove.run(name);
    },
  };
}
