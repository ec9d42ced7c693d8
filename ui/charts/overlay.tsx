import type { Curve } from "#distributions/curve.ts";
import type { Band } from "#model/band/band.ts";
import { envelopeValues, type OverlayView, overlayValues } from "#model/pictures/overlay.ts";
import { ErrorBoundary } from "../parts/errorBoundary.tsx";
import { type Stroke, strokeNamed } from "./ink.ts";
import { LineChart } from "./lineChart.tsx";
import type { DrawnLine, Fill, LinesUnder } from "./lineChartProps.ts";

const stageStrokes: readonly Stroke[] = ["stage-1", "stage-2", "stage-3", "stage-4"];
/** Labels of neighbouring lines are looked for at different heights. */
const labelHeights = [88, 28, 12, 75, 42, 6];

/** The product over its target band, other stages thin beside it. */
export function Overlay(props: {
  finding: string;
  sizesUm: readonly number[];
  view: OverlayView;
  band: Band | null;
  product: { label: string; curve: Curve; isPredicted: boolean } | null;
  others: readonly { label: string; curve: Curve }[];
  /** Between which two curves the product lies, where it is predicted. */
  ribbon?: { finer: Curve; coarser: Curve } | null;
  /** Curves too many to be told apart, thin beneath the others. */
  under?: LinesUnder | undefined;
  height?: number | "fill";
}) {
  const { finding, sizesUm, view, band, product, others, ribbon = null, under, height = 360 } = props;
  const isUndersize = view === "undersize";
  const envelope = isUndersize ? (band?.envelope ?? null) : null;
  const lines: DrawnLine[] = [];
  const fills: Fill[] = [];
  if (envelope !== null) {
    lines.push(...bandLines(envelope, sizesUm));
    fills.push({ highKey: "band-high", lowKey: "band-low", ink: "band" });
  }
  const drawn = (curve: Curve) => overlayValues(curve, sizesUm, view);
  if (ribbon !== null && isUndersize) {
    lines.push({ key: "ribbon-high", label: "", stroke: "edge", values: drawn(ribbon.finer) });
    lines.push({ key: "ribbon-low", label: "", stroke: "edge", values: drawn(ribbon.coarser) });
    fills.push({ highKey: "ribbon-high", lowKey: "ribbon-low", ink: "ribbon" });
  }
  const peak = (values: readonly number[]) => Math.max(...values);
  for (const [i, other] of others.entries()) {
    const values = drawn(other.curve);
    lines.push({
      key: `other-${i}`,
      label: other.label,
      stroke: strokeNamed(other.label, "thin", stageStrokes[i % 4] ?? "stage-1"),
      values,
      labelAt: isUndersize ? (labelHeights[i % labelHeights.length] ?? 30) : 0.9 * peak(values),
    });
  }
  if (product !== null) {
    const values = drawn(product.curve);
    lines.push({
      key: "product",
      label: product.label,
      stroke: product.isPredicted
        ? strokeNamed(product.label, "predicted", "predicted")
        : strokeNamed(product.label, "firm", "product"),
      values,
      labelAt: isUndersize ? 62 : 0.97 * peak(values),
    });
  }
  const top = isUndersize ? 100 : 1.1 * Math.max(1, ...lines.flatMap((l) => l.values.map((v) => v ?? 0)));
  const xs = [...sizesUm];
  return (
    <ErrorBoundary what="The overlay">
      <LineChart
        finding={finding}
        x={{
          label: "size, µm",
          range: [xs[0] ?? 0.1, xs.at(-1) ?? 100],
          log: true,
          show: (v) => `${Number(v.toPrecision(3))} µm`,
        }}
        y={{
          label: isUndersize ? "% finer" : "% per ln size",
          range: [0, top],
          show: (v) => `${Number(v.toPrecision(3))} %`,
        }}
        xs={xs}
        lines={lines}
        fills={fills}
        under={under}
        height={height}
      />
    </ErrorBoundary>
  );
}

function bandLines(envelope: NonNullable<Band["envelope"]>, sizesUm: readonly number[]): DrawnLine[] {
  return [
    {
      key: "band-high",
      label: "band to",
      stroke: "band-edge",
      values: envelopeValues(envelope, "high", sizesUm),
    },
    {
      key: "band-low",
      label: "band from",
      stroke: "band-edge",
      values: envelopeValues(envelope, "low", sizesUm),
    },
  ];
}
