// Writes rows of a CSV file (RFC 4180).

/**
 * One line with its CRLF; null is an empty field. Text that a spreadsheet would take for a
 * formula gets a quote mark in front.
 */
export function csvLine(cells: (string | number | null)[]): string {
  return `${cells.map(cellText).join(",")}\r\n`;
}

function cellText(cell: string | number | null): string {
  if (cell === null) return "";
  if (typeof cell === "number") return String(cell);
  const isNumber = cell.trim() !== "" && Number.isFinite(Number(cell));
  const text = !isNumber && /^\s*[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
