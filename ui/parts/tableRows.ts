/** One row of a table of formulas: what is found, and what each further column says of it. */
export interface FormulaRow {
  readonly what: string;
  readonly said: readonly { readonly heading: string; readonly text: string }[];
}

const isRule = (line: string) => /^\|[\s|:-]+\|$/.test(line);

/** The rows of every table of a Markdown text, in order; the column that names the code is for its readers alone. */
export function rowsOfTables(markdown: string): readonly FormulaRow[] {
  const lines = markdown.split("\n");
  let headings: readonly string[] = [];
  return lines.flatMap((line, i) => {
    if (!line.startsWith("|") || isRule(line)) return [];
    const [what = "", ...cells] = cellsOf(line);
    if (isRule(lines[i + 1] ?? "")) {
      headings = cells;
      return [];
    }
    const said = cells
      .map((text, at) => ({ heading: headings[at] ?? "", text }))
      .filter(({ heading, text }) => text !== "" && heading !== "code");
    return [{ what, said }];
  });
}

/** Cells between bars; a bar with a stroke before it belongs to its cell. */
function cellsOf(line: string): readonly string[] {
  return line
    .slice(1, line.lastIndexOf("|"))
    .split(/(?<!\\)\|/)
    .map((cell) => cell.replaceAll("\\|", "|").replaceAll("`", "").trim());
}
