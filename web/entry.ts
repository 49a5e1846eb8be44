// A figure that a person types: what was typed is kept, in the units of that moment, with what it means.
import { useState } from "preact/hooks";
import { isPlainNumber, parseQuantity } from "../shared/parse-quantity.ts";
import { fieldFigure, formatQuantity, type Quantity, shownUnit } from "../shared/quantities.ts";
import type { Units } from "../shared/wire/api.ts";

export type EntryOf = {
  quantity: Quantity;
  units: Units;
  /** The value so far, in the quantity's own unit. */
  before?: number | null | undefined;
  /** It may be left empty. */
  optional?: boolean;
};

/** What was typed, and the units of the browser then; a later switch doesn't change what it means. */
export type Typed = { text: string; units: Units };

export type EntryReading = {
  text: string;
  /** In the quantity's own unit; null is left empty, undefined is wrong. */
  value: number | null | undefined;
  /** In plain words; there whenever `value` is undefined. */
  problem: string | undefined;
  /** The unit of a plain number, to stand behind it. */
  unit: string | undefined;
  /** The value in this browser's unit, where something else was typed. */
  echo: string | undefined;
  isChanged: boolean;
};

/** What an entry reads as, typed or not; a value that nobody touched stays exact. */
export function readEntry(typed: Typed | undefined, entry: EntryOf): EntryReading {
  const { quantity, units, before = null, optional = false } = entry;
  const text = typed?.text ?? (before === null ? "" : fieldFigure(before, quantity, units));
  const typedUnits = typed?.units ?? units;
  const unit = isPlainNumber(text) ? shownUnit(quantity, typedUnits).symbol : undefined;
  const rest = { text, unit, isChanged: typed !== undefined };
  if (typed === undefined && before !== null) {
    return { ...rest, value: before, problem: undefined, echo: undefined };
  }
  if (text.trim() === "" && optional) {
    return { ...rest, value: null, problem: undefined, echo: undefined };
  }
  const read = parseQuantity(text, quantity, typedUnits);
  if (!read.ok) return { ...rest, value: undefined, problem: read.problem, echo: undefined };
  const ownSymbol = shownUnit(quantity, units).symbol;
  const isOwn = unit === ownSymbol || text.trim().endsWith(ownSymbol);
  const echo = isOwn ? undefined : formatQuantity(read.value, quantity, units);
  return { ...rest, value: read.value, problem: undefined, echo };
}

export type Entry = EntryReading & {
  quantity: Quantity;
  /** Whether its problem is told: once the field was left or the form was sent. */
  isTold: boolean;
  set: (text: string) => void;
  tell: () => void;
  /** Back to the value before. */
  reset: () => void;
};

export function useEntry(entry: EntryOf): Entry {
  const [typed, setTyped] = useState<Typed | undefined>(undefined);
  const [isTold, setTold] = useState(false);
  return {
    ...readEntry(typed, entry),
    quantity: entry.quantity,
    isTold,
    set: (text) => setTyped({ text, units: entry.units }),
    tell: () => setTold(true),
    reset: () => {
      setTyped(undefined);
      setTold(false);
    },
  };
}

/** What a form asks of its fields, figures and moments alike, before it is sent. */
type Field = { value: unknown; tell: () => void };

/** Whether all fields of a form can be sent; those that can't say what is wrong from now on. */
export function areRight(fields: readonly Field[]): boolean {
  for (const field of fields) field.tell();
  return fields.every(({ value }) => value !== undefined);
}
