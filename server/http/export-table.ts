// A table that is given out as CSV: its columns, and its rows page by page.

export type Span = { fromMs: number; toMs: number };
export type Cell = string | number | null;
export type Table = {
  name: string;
  summary: string;
  header: string[];
  pages(span: Span): Iterable<Cell[][]>;
};

/** A table small enough to be given out in one page, column by column. */
export function smallTable<T>(small: {
  name: string;
  summary: string;
  rows: (span: Span) => T[];
  columns: Record<string, (row: T) => Cell>;
}): Table {
  const { name, summary, rows, columns } = small;
  return {
    name,
    summary,
    header: Object.keys(columns),
    pages: (span) => [rows(span).map((row) => Object.values(columns).map((cellOf) => cellOf(row)))],
  };
}

export const timeText = (atMs: number) => new Date(atMs).toISOString();

export const timeOrNothing = (atMs: number | null) => (atMs === null ? null : timeText(atMs));
