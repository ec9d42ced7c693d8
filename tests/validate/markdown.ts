/** A table whose columns are as wide as their widest cell, as the formatter wants it. */
export function markdownTable(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const cells = [head, ...rows].map((row) => row.map((cell) => cell.replaceAll("|", "\\|")));
  const widths = head.map((_, i) => Math.max(3, ...cells.map((row) => [...(row[i] ?? "")].length)));
  const line = (row: readonly string[]) =>
    `| ${widths.map((width, i) => (row[i] ?? "") + " ".repeat(width - [...(row[i] ?? "")].length)).join(" | ")} |`;
  const [first = [], ...others] = cells;
  return [line(first), line(widths.map((width) => "-".repeat(width))), ...others.map(line)].join("\n");
}
