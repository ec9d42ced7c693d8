import Papa from "papaparse";
import { useState } from "preact/hooks";
import { type Chart, chartPicture } from "#model/pictures/chartPicture.ts";
import { paperSize, paperSvg, paperWidthsMm } from "#model/pictures/paperSvg.ts";
import type { Look } from "#model/pictures/picture.ts";
import { formulaStart } from "#model/words/formulaStart.ts";
import { saveFile } from "../parts/saveFile.ts";
import type { Stroke } from "./ink.ts";
import type { LineChartProps } from "./lineChartProps.ts";

const sharper = 3;

/** Two columns of a paper. */
const usualWidthMm = 170;
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

/** Exports a chart as a file: as a drawing, as an image three times as sharp, or as the numbers it draws. */
export function ExportChart(props: LineChartProps) {
  const [fault, setFault] = useState("");
  const [widthMm, setWidth] = useState(usualWidthMm);
  const stem =
    props.finding
      .split(/[.,:;](?:\s|$)/)[0]
      ?.slice(0, 40)
      .trim() || "picture";
  const attempt = async (what: () => Promise<void>) => {
    setFault("");
    try {
      await what();
    } catch {
      setFault("This browser could not make the image; export as SVG instead.");
    }
  };
  return (
    <>
      <button
        type="button"
        class="small"
        onClick={() =>
          attempt(async () => {
            const png = image(drawing(props, widthMm));
            await navigator.clipboard.write([new ClipboardItem({ "image/png": png })]);
            setFault("Copied.");
          })
        }
      >
        Copy
      </button>{" "}
      <button
        type="button"
        class="small"
        onClick={() =>
          attempt(async () => saveFile(`${stem}.png`, "image/png", await image(drawing(props, widthMm))))
        }
      >
        PNG
      </button>{" "}
      <button
        type="button"
        class="small"
        onClick={() => saveFile(`${stem}.svg`, "image/svg+xml", drawing(props, widthMm))}
      >
        SVG
      </button>{" "}
      <button type="button" class="small" onClick={() => saveFile(`${stem}.csv`, "text/csv", numbers(props))}>
        CSV
      </button>{" "}
      <label title="How wide the picture is on paper; its letters are of 8 pt">
        width, mm{" "}
        <input
          type="number"
          min={paperWidthsMm.least}
          max={paperWidthsMm.most}
          value={widthMm}
          onChange={({ currentTarget: { valueAsNumber } }) => {
            if (valueAsNumber >= paperWidthsMm.least && valueAsNumber <= paperWidthsMm.most)
              setWidth(valueAsNumber);
          }}
        />
      </label>{" "}
      <span role="status">{fault}</span>
    </>
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

/** The drawing as an image on white, three times as sharp as a screen. */
async function image(svg: string): Promise<Blob> {
  const drawn = new Image();
  drawn.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
  await drawn.decode();
  const canvas = new OffscreenCanvas(drawn.width * sharper, drawn.height * sharper);
  const pen = canvas.getContext("2d");
  if (pen === null) throw new Error("This browser cannot draw an image.");
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(drawn, 0, 0, canvas.width, canvas.height);
  return canvas.convertToBlob({ type: "image/png" });
}
