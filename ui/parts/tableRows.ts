/** A formula as the page tells it: what is found, and under each label what is said of it. */
export interface FormulaRow {
  readonly what: string;
  /** Names under which it is asked for besides. */
  readonly also: readonly string[];
  readonly said: readonly { readonly heading: string; readonly text: string }[];
}

const isRule = (line: string) => /^\|[\s|:-]+\|$/.test(line);
const plain = (text: string) => text.replaceAll("\\|", "|").replaceAll("`", "").trim();

/** Every formula of a Markdown text: the rows of its tables, and the headings with a list of what is said of them. */
export function formulasOf(markdown: string): readonly FormulaRow[] {
  return [...rowsOfTables(markdown), ...rowsOfHeadings(markdown)];
}

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
    const said = cells.map((text, at) => ({ heading: headings[at] ?? "", text }));
    return [{ what, also: [], said: said.filter(isForThePage) }];
  });
}

/**
 * Headings below which items such as `- **formula:** …` stand, in order. Prose before the items says what it is; the item
 * "also called" names it further, parted by semicolons.
 */
export function rowsOfHeadings(markdown: string): readonly FormulaRow[] {
  return markdown
    .split(/^#+ /m)
    .slice(1)
    .flatMap((section) => {
      const [what = "", ...lines] = section.split("\n");
      const items = lines.flatMap((line) => {
        const [, heading, text] = /^- \*\*(.+?):\*\* (.+)$/.exec(line) ?? [];
        return heading === undefined || text === undefined ? [] : [{ heading, text: plain(text) }];
      });
      if (items.length === 0) return [];
      const prose = lines.slice(
        0,
        lines.findIndex((line) => line.startsWith("- **")),
      );
      const said = [{ heading: "what it is", text: plain(prose.join(" ")) }, ...items];
      const also = items.filter(({ heading }) => heading === "also called");
      return [
        {
          what: what.trim(),
          also: also.flatMap(({ text }) => text.split("; ")),
          said: said.filter(isForThePage),
        },
      ];
    });
}

function isForThePage({ heading, text }: FormulaRow["said"][number]): boolean {
  return text !== "" && heading !== "code" && heading !== "also called";
}

/** Cells between bars; a bar with a stroke before it belongs to its cell. */
function cellsOf(line: string): readonly string[] {
  return line
    .slice(1, line.lastIndexOf("|"))
    .split(/(?<!\\)\|/)
    .map(plain);
}
