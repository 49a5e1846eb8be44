// Reads rows of a CSV file (RFC 4180) as the export writes them; no field spans lines there.

/** The cells of one line, without its line end. */
export function cellsFromLine(line: string): string[] {
  const cells: string[] = [];
  let at = 0;
  while (at <= line.length) {
    const isQuoted = line[at] === '"';
    const end = isQuoted ? closingQuote(line, at + 1) : commaOrEnd(line, at);
    const text = isQuoted ? line.slice(at + 1, end).replaceAll('""', '"') : line.slice(at, end);
    cells.push(text);
    at = (isQuoted ? commaOrEnd(line, end) : end) + 1;
  }
  return cells;
}

function commaOrEnd(line: string, from: number): number {
  const comma = line.indexOf(",", from);
  return comma < 0 ? line.length : comma;
}

function closingQuote(line: string, from: number): number {
  let at = line.indexOf('"', from);
  while (at >= 0 && line[at + 1] === '"') at = line.indexOf('"', at + 2);
  return at < 0 ? line.length : at;
}
