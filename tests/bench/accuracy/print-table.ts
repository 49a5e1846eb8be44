// Prints rows under a head, first column to the left, the others to the right.

export function printTable(head: readonly string[], rows: readonly (readonly string[])[]): void {
  const widths = head.map((title, column) =>
    Math.max(title.length, ...rows.map((row) => row[column]?.length ?? 0)),
  );
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, column) =>
        column === 0 ? cell.padEnd(widths[0] ?? 0) : cell.padStart(widths[column] ?? 0),
      )
      .join("  ");
  console.log(`\n${[head, ...rows].map(line).join("\n")}`);
}

export function percent(share: number): string {
  return `${(100 * share).toFixed(1)} %`;
}
