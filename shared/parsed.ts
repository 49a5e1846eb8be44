// The result of reading something from outside: a value, or the problem in plain words.

export type Parsed<T> = { ok: true; value: T } | { ok: false; problem: string };

export function parsed<T>(value: T): Parsed<T> {
  return { ok: true, value };
}

export function refused<T = never>(problem: string): Parsed<T> {
  return { ok: false, problem };
}
