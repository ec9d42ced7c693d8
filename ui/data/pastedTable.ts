/** Both forms of what was pasted, taken while the clipboard may be looked at. */
export interface Pasted {
  readonly html: string;
  readonly plain: string;
}

/** The text of what was pasted: a spreadsheet's own cells where it sends them, else the plain text. */
export function pastedText({ html, plain }: Pasted): string {
  return tableFromHtml(html) ?? plain;
}

/** The largest table of a page as text with tabs; a cell that spans several leaves the others empty. Null where there is none. */
function tableFromHtml(html: string): string | null {
  if (!/<table/i.test(html)) return null;
  const tables = [...new DOMParser().parseFromString(html, "text/html").querySelectorAll("table")];
  const [largest] = tables.sort((a, b) => b.rows.length - a.rows.length);
  if (largest === undefined) return null;
  const rows = [...largest.rows].map((row) =>
    [...row.cells].flatMap((cell) => [
      quoted((cell.textContent ?? "").replace(/\s+/g, " ").trim()),
      ...Array.from({ length: Math.min(Math.max(cell.colSpan, 1), 1000) - 1 }, () => ""),
    ]),
  );
  return rows.length === 0 ? null : `${rows.map((cells) => cells.join("\t")).join("\n")}\n`;
}

function quoted(text: string): string {
  return text.includes('"') ? `"${text.replaceAll('"', '""')}"` : text;
}
