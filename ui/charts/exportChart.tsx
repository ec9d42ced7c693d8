import Papa from "papaparse";
import { type Chart, chartPicture } from "#model/pictures/chartPicture.ts";
import { paperSize, paperSvg } from "#model/pictures/paperSvg.ts";
import type { Look } from "#model/pictures/picture.ts";
import { formulaStart } from "#model/words/formulaStart.ts";
import { ExportPicture } from "./exportPicture.tsx";
import type { Stroke } from "./ink.ts";
import type { LineChartProps } from "./lineChartProps.ts";

const looks: Readonly<Record<string, Look>> = {
  product: "firm",
  predicted: "firm",
  median: "firm",
  firm: "firm",
  "stage-1": "dashed",
  "stage-2": "long",
  "stage-3": "dotted",
  "stage-4": "thin",
  "thin precursor": "thin",
  "thin fired": "dashed",
  "thin crushed": "dotted",
  "thin milled": "long",
  "thin re-fired": "thin",
  "thin reference": "dotted",
};

/** How a line looks on paper; null for one that is not drawn. */
function lookOf(stroke: Stroke): Look | null {
  const [way = ""] = stroke.split(" ");
  return looks[stroke] ?? looks[way] ?? null;
}

/** Exports a chart of lines over an axis. */
export function ExportChart(props: LineChartProps) {
  return (
    <ExportPicture
      finding={props.finding}
      svg={(widthMm) => drawing(props, widthMm)}
      csv={() => numbers(props)}
    />
  );
}

function chartOf({ finding, x, y, xs, lines, fills = [], under, over }: LineChartProps): Chart {
  const valuesOf = (key: string) => lines.find((l) => l.key === key)?.values ?? [];
  return {
    name: finding,
    x,
    y,
    xs,
    lines: [
      ...(under?.linesAt(xs) ?? []).map(({ values }) => ({ label: "", look: "thin" as const, values })),
      ...lines.flatMap(({ label, stroke, values }) => {
        const look = lookOf(stroke);
        return look === null ? [] : [{ label, look, values }];
      }),
    ],
    fills: fills.map(({ highKey, lowKey }) => ({ high: valuesOf(highKey), low: valuesOf(lowKey) })),
    marks: over?.marks ?? [],
  };
}

/** Black and greys, its words as text, so wide on paper. */
function drawing(props: LineChartProps, widthMm: number): string {
  return paperSvg(chartPicture(chartOf(props), paperSize(widthMm)), widthMm);
}

/** Every line as a column with all its digits, headed by its name and what the axis says of its unit, after RFC 4180. */
function numbers({ x, y, xs, lines, under }: LineChartProps): string {
  // With ticks of its own an axis is neither even nor logarithmic, and the numbers drawn are not those it names.
  const unit = y.ticks === undefined ? y.label : `height in the picture over the axis ${y.label}`;
  const columns = [
    ...lines.map((line) => ({ label: line.label || line.key, values: line.values })),
    ...(under?.linesAt(xs) ?? []),
  ];
  const rows = [
    [x.label, ...columns.map(({ label }) => `${label} (${unit})`)],
    ...xs.map((at, i) => [at, ...columns.map(({ values }) => values[i] ?? "")]),
  ];
  // A line may bear the name of a lot, which may begin like a formula.
  return `${Papa.unparse(rows, { escapeFormulae: formulaStart })}\r\n`;
}
