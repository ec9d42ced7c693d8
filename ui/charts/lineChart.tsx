import { useLayoutEffect, useRef, useState } from "preact/hooks";
import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import { decadeTicks, plainDecimal } from "#model/pictures/scale.ts";
import { trouble } from "#ui/data/client.ts";
import { later } from "../parts/later.tsx";
import { inkOf, strokes } from "./ink.ts";
import type { drawLabels } from "./labels.ts";
import type { Axis, LineChartProps } from "./lineChartProps.ts";

const ExportChart = later("the export", async () => (await import("./exportChart.tsx")).ExportChart);

/** Lines are drawn first; what finds room for their names follows, once for all charts. */
let names: typeof drawLabels | null = null;
let fetching: Promise<void> | null = null;
/** Where they cannot be fetched it is said, and the next chart asks again. */
function fetchNames(): Promise<void> {
  fetching ??= import("./labels.ts").then(
    (labels) => {
      names = labels.drawLabels;
    },
    () => {
      fetching = null;
      trouble.value = "The line labels could not be loaded.";
    },
  );
  return fetching;
}
void fetchNames();

/**
 * The one place that touches uPlot. The picture is built once for its set of lines; new numbers only replace its data.
 * Arrow keys walk the cursor along the x axis and the values there are read out.
 */
export function LineChart(props: LineChartProps) {
  const { finding, xs, height = 320 } = props;
  const holder = useRef<HTMLDivElement>(null);
  const chart = useRef<uPlot | null>(null);
  const latest = useRef(props);
  latest.current = props;
  const [at, setAt] = useState<number | null>(null);
  const [isExporting, setExporting] = useState(false);
  const structure = structureOf(props);

  useLayoutEffect(() => {
    const box = holder.current;
    if (box === null) return;
    const plot = new uPlot(optionsOf(latest, box, setAt), dataOf(latest.current), box);
    chart.current = plot;
    if (names === null) void fetchNames().then(() => chart.current === plot && plot.redraw());
    const observer = new ResizeObserver(() =>
      plot.setSize({ width: Math.max(box.clientWidth, 200), height }),
    );
    observer.observe(box);
    const scheme = matchMedia("(prefers-color-scheme: dark)");
    const redraw = () => plot.redraw();
    scheme.addEventListener("change", redraw);
    return () => {
      scheme.removeEventListener("change", redraw);
      observer.disconnect();
      plot.destroy();
      chart.current = null;
    };
  }, [structure]);

  // Before the browser paints, so that the picture never lags the sentence beside it by a frame; but not for its own
  // cursor, which draws nothing anew.
  useLayoutEffect(() => {
    chart.current?.setData(dataOf(props));
  }, [props]);

  const walk = (event: KeyboardEvent) => {
    const plot = chart.current;
    const step = event.key === "ArrowRight" ? 1 : event.key === "ArrowLeft" ? -1 : 0;
    if (plot === null || step === 0) return;
    event.preventDefault();
    const next = Math.min(
      Math.max((at ?? Math.floor(xs.length / 2)) + step * (event.shiftKey ? 10 : 2), 0),
      xs.length - 1,
    );
    plot.setCursor({ left: plot.valToPos(xs[next] ?? 0, "x"), top: plot.bbox.height / devicePixelRatio / 2 });
    setAt(next);
  };

  return (
    <figure class="chart">
      <div
        ref={holder}
        class="chart-canvas"
        style={{ height: `${height}px` }}
        role="img"
        aria-label={finding}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the arrow keys read values out
        tabIndex={0}
        onKeyDown={walk}
      />
      <figcaption class="quiet" aria-live="polite">
        {readOutAt(at, props)}
      </figcaption>
      <details class="quiet no-print" onToggle={(event) => setExporting(event.currentTarget.open)}>
        <summary>Export this picture</summary>
        {isExporting && <ExportChart {...props} />}
      </details>
    </figure>
  );
}

/** What a chart is built anew for; other changes only replace its data. */
function structureOf({ x, y, lines, fills = [], height }: LineChartProps): string {
  const strokes = lines.map((l) => [l.key, l.stroke]);
  return JSON.stringify([strokes, fills, x.log, y.log, x.label, y.label, y.ticks, height]);
}

/** The values at a place of the x axis in words; where none is chosen, how to choose one. */
function readOutAt(at: number | null, { x, y, xs, lines }: LineChartProps): string {
  if (at === null) return "Point at the chart or use the arrow keys to read values.";
  const show = y.show ?? plainDecimal;
  return [
    `${(x.show ?? plainDecimal)(Number((xs[at] ?? 0).toPrecision(3)))}`,
    ...lines.filter((l) => l.label !== "").map((l) => `${l.label} ${readValue(l.values[at], show)}`),
  ].join(" · ");
}

function readValue(value: number | null | undefined, show: (v: number) => string): string {
  return value === null || value === undefined ? "–" : show(Number(value.toPrecision(3)));
}

function dataOf({ xs, lines }: LineChartProps): uPlot.AlignedData {
  return [[...xs], ...lines.map((l) => [...l.values])];
}

type Latest = { current: LineChartProps };

function optionsOf(latest: Latest, box: HTMLElement, setAt: (index: number | null) => void): uPlot.Options {
  const { x, y, lines, fills = [], height = 320 } = latest.current;
  const indexOf = (key: string) => lines.findIndex((l) => l.key === key) + 1;
  const axis = (side: "x" | "y", scale: Axis): uPlot.Axis => ({
    scale: side,
    side: side === "x" ? 2 : 3,
    stroke: () => inkOf(box, "muted"),
    grid: { show: side === "y", stroke: () => inkOf(box, "rule"), width: 1 },
    ticks: { stroke: () => inkOf(box, "rule"), width: 1, size: 5 },
    font: "12px system-ui, sans-serif",
    size: side === "x" ? 30 : 52,
    ...(scale.log === true
      ? {
          splits: (_u: uPlot, _i: number, min: number, max: number) => decadeTicks(min, max),
          filter: (u: uPlot, splits: number[]) => (side === "x" ? roomFor(splits, u.width) : splits),
        }
      : {}),
    ...(scale.ticks === undefined ? {} : { splits: () => (scale.ticks ?? []).map((t) => t.at) }),
    label: scale.label,
    labelFont: "12px system-ui, sans-serif",
    labelSize: 18,
    labelGap: 2,
    values: (_u, splits) => splits.map((v) => (v === null ? null : tickText(scale, v))),
  });
  return {
    width: Math.max(box.clientWidth, 200),
    height,
    legend: { show: false },
    cursor: { y: false, points: { show: false }, drag: { x: false, y: false } },
    padding: [12, 12, 4, 0],
    scales: {
      x: { time: false, distr: x.log === true ? 3 : 1, range: () => [...latest.current.x.range] as const },
      y: { distr: y.log === true ? 3 : 1, range: () => [...latest.current.y.range] as const },
    },
    axes: [axis("x", x), axis("y", y)],
    series: [{}, ...lines.map((line): uPlot.Series => strokes(line.stroke, (name) => inkOf(box, name)))],
    bands: fills.map(({ highKey, lowKey, ink }) => ({
      series: [indexOf(highKey), indexOf(lowKey)],
      fill: () => inkOf(box, ink),
    })),
    hooks: {
      setCursor: [(u) => setAt(u.cursor.idx ?? null)],
      drawAxes: [(u) => latest.current.under?.paint(u, (name) => inkOf(box, name))],
      draw: [
        (u) => {
          latest.current.over?.paint(u, (name) => inkOf(box, name));
          names?.(u, latest.current.lines, (name) => inkOf(box, name));
        },
      ],
    },
  };
}

function tickText(scale: Axis, value: number): string {
  return scale.ticks?.find((t) => t.at === value)?.label ?? (scale.tick ?? plainDecimal)(value);
}

/** On a narrow picture only whole decades keep their labels, so that they do not run into each other. */
function roomFor(splits: number[], width: number): (number | null)[] {
  if (splits.length * 44 < width) return splits;
  return splits.map((v) => (Number.isInteger(Math.log10(v)) ? v : null));
}
