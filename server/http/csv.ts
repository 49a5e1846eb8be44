// Writes rows of a CSV file (RFC 4180).

/**
 * One line with its CRLF; null is an empty field. Text that a spreadsheet would take for a
 * formula gets a quote mark in front.
 */
export function csvLine(cells: (string | number | null)[]): string {
  return `${cells.map(cellText).join(",")}\r\n`;
}

const mostDigits = 9;

/** Without the digits that only binary fractions have; whole numbers, times among them, as they are. */
function numberText(value: number): string {
  return String(Number.isInteger(value) ? value : Number(value.toPrecision(mostDigits)));
}

function cellText(cell: string | number | null): string {
  if (cell === null) return "";
  if (typeof cell === "number") return numberText(cell);
  const isNumber = cell.trim() !== "" && Number.isFinite(Number(cell));
  const text = !isNumber && /^\s*[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
