import { maxOf } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import { unitIn } from "#distributions/tables/text/units.ts";
import { percentileIn } from "#distributions/tables/text/words.ts";
import { type Block, type Cell, type Grid, type Series, textOf } from "./block.ts";

interface Percentiles {
  readonly name: string;
  readonly points: readonly { percent: number; size: Cell }[];
}

/** As many percentiles as this trace a curve; fewer only mark points on one. */
const minForCurve = 10;

/** Tables of D10, D50, D90 and the like, along a row or down a column. */
function percentileLists({ cells, parsed }: Grid): { lists: Percentiles[]; words: string } | null {
  for (const [r, row] of cells.entries()) {
    const across = row.flatMap((text, c) => {
      const percent = percentileIn(text);
      return percent === null ? [] : [{ c, percent }];
    });
    if (across.length >= 2) {
      const lists = cells.slice(r + 1).flatMap((values, i): Percentiles[] => {
        const points = across.flatMap(({ c, percent }) =>
          parsed.size(values[c] ?? "") === null
            ? []
            : [{ percent, size: { text: values[c] ?? "", row: r + 2 + i, column: c + 1 } }],
        );
        const name = values.find((text, c) => text !== "" && !across.some((a) => a.c === c)) ?? "";
        return points.length < 2 ? [] : [{ name, points }];
      });
      if (lists.length > 0) return { lists, words: textOf(row) };
    }
    const c = row.findIndex((text) => percentileIn(text) !== null);
    if (c < 0) continue;
    const rows = cells
      .slice(r)
      .map((values, i) => ({ values, row: r + 1 + i, percent: percentileIn(values[c] ?? "") }));
    const named = rows.filter((x) => x.percent !== null);
    if (named.length < 2) continue;
    const width = maxOf(named.map((x) => x.values.length));
    const heading = cells[r - 1] ?? [];
    const lists = Array.from(
      { length: Math.max(0, width - c - 1) },
      (_, k): Percentiles => ({
        name: heading[c + 1 + k] ?? "",
        points: named.flatMap(({ values, row: at, percent }) => {
          const text = values[c + 1 + k] ?? "";
          return percent === null || parsed.size(text) === null
            ? []
            : [{ percent, size: { text, row: at, column: c + 2 + k } }];
        }),
      }),
    ).filter((list) => list.points.length >= 2);
    if (lists.length > 0)
      return {
        lists,
        words: `${textOf(heading)} ${named.map((x) => x.values[c]).join(" ")} ${textOf(named[0]?.values.slice(c + 1) ?? [])}`,
      };
  }
  return null;
}

/**
 * A table of percentiles and nothing else. Ten or more in order are a cumulative curve and come back as blocks;
 * fewer come back as what can be known of them and what cannot. Null where the table holds none.
 */
export function percentileTables(
  grid: Grid,
): { readonly blocks: readonly Block[]; readonly problems: readonly Problem[] } | null {
  const found = percentileLists(grid);
  if (found === null) return null;
  const blocks = found.lists
    .filter((list) => list.points.length >= minForCurve)
    .map((list) => curveOf(list, found.words, grid));
  const problems = found.lists
    .filter((list) => list.points.length < minForCurve)
    .map((list) => notACurve(list, found.words, grid));
  return { blocks, problems };
}

function curveOf({ name, points }: Percentiles, words: string, { parsed }: Grid): Block {
  const series: Series = {
    heading: name,
    says: `cumulative undersize in % ${words}`,
    at: { row: points[0]?.size.row ?? null, column: points[0]?.size.column ?? null },
    cells: points.map(({ percent, size }) => ({
      ...size,
      text: parsed.mark === "," ? String(percent).replace(".", ",") : String(percent),
    })),
  };
  return {
    layout: "columns",
    sizes: [points.map(({ size }) => size)],
    sizeHeading: unitIn(words) ?? "",
    series: [series],
    notes: [],
    remarks: [problem("note", `${points.length} percentiles were read as the undersize curve through them.`)],
  };
}

function notACurve({ name, points }: Percentiles, words: string, { parsed }: Grid): Problem {
  const unit = unitIn(words);
  const said = points.map(({ percent, size }) => `D${percent} ${size.text}`).join(", ");
  const size = (percent: number) => {
    const cell = points.find((p) => p.percent === percent)?.size;
    return cell === undefined ? null : (parsed.size(cell.text)?.value ?? parsed.number(cell.text));
  };
  const [d10, d50, d90] = [size(10), size(50), size(90)];
  const span =
    d10 !== null && d50 !== null && d90 !== null && d50 > 0
      ? ` and the span ${figuresText((d90 - d10) / d50)}`
      : "";
  const first = points[0]?.size;
  return problem(
    "refused",
    `Row ${first?.row ?? "?"}: only ${points.length} percentiles, and percentiles alone are no curve. Known are ${said}${unit === null ? "" : ` ${unit}`}${span}; the curve between and beyond them, means, surface, humps and fines are not. Bring in the classes these were worked out from, or at least ${minForCurve} percentiles.`,
    {
      measurement: name === "" ? null : name,
      row: first?.row ?? null,
      column: first?.column ?? null,
      found: said,
      expected: "shares at many sizes",
      effect: "limits on these percentiles can be judged by hand; no curve is drawn",
    },
  );
}
