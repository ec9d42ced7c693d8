import { useLayoutEffect, useRef, useState } from "preact/hooks";
import uPlot from "uplot";
import { decadeTicks, plainDecimal } from "#model/pictures/scale.ts";
import { trouble } from "#ui/data/client.ts";
import { shownAs } from "#ui/data/numberMarks.ts";
import { inkOf, strokes } from "./ink.ts";
import { type Axis, hint, type LineChartProps, type Zoom } from "./lineChartProps.ts";
import { labelsApart, tickFont } from "./tickLabels.ts";

type Tools = typeof import("./chartTools.tsx");
/** Lines are drawn first; what names them, reads them out and zooms follows, once for all charts. */
let tools: Tools | null = null;
let fetching: Promise<void> | null = null;
/** Where they cannot be fetched it is said, and the next chart asks again. */
function fetchTools(): Promise<void> {
  fetching ??= import("./chartTools.tsx").then(
    ({ ChartFoot, drawLabels, takeKey, tipOf }) => {
      tools = { ChartFoot, drawLabels, takeKey, tipOf };
    },
    () => {
      fetching = null;
      trouble.value = "The line labels could not be loaded.";
    },
  );
  return fetching;
}
void fetchTools();

/**
 * The one place that touches uPlot. The picture is built once for its set of lines; new numbers only replace its data.
 * The values at the pointer are shown, and read out as arrow keys walk along the x axis. Dragging, or the keys plus and
 * minus, show a part of the axis; a double press, or Escape, all of it.
 */
export function LineChart(props: LineChartProps) {
  const { finding, height = 320 } = props;
  const holder = useRef<HTMLDivElement>(null);
  const chart = useRef<uPlot | null>(null);
  const latest = useRef(props);
  latest.current = props;
  const zoom = useRef<Zoom>({ part: null }).current;
  const [at, setAt] = useState<number | null>(null);
  const [, setTurn] = useState(0);
  const structure = structureOf(props);
  const show = (part: Zoom["part"]) => {
    zoom.part = part;
    chart.current?.setData(dataOf(latest.current));
    setTurn((turn) => turn + 1);
  };

  useLayoutEffect(() => {
    const box = holder.current;
    if (box === null) return;
    const plot = new uPlot(optionsOf(latest, box, { zoom, show, setAt }), dataOf(latest.current), box);
    chart.current = plot;
    if (tools === null)
      void fetchTools().then(() => {
        if (chart.current === plot) plot.redraw();
        setTurn((turn) => turn + 1);
      });
    const observer = new ResizeObserver(() => plot.setSize(sizeOf(box)));
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

  const now = { at, setAt, zoom, show, props };
  const takeKey = (event: KeyboardEvent) => {
    const plot = chart.current;
    if (plot === null) return;
    // A key that comes before what takes it is not lost.
    if (tools === null) void fetchTools().then(() => tools?.takeKey(event, plot, now));
    else tools.takeKey(event, plot, now);
  };
  return (
    <figure class="chart">
      <div
        ref={holder}
        class="chart-canvas"
        {...(height === "fill" ? {} : { style: { height: `${height}px` } })}
        role="img"
        aria-label={finding}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the arrow keys read values out
        tabIndex={0}
        onKeyDown={takeKey}
        onDblClick={() => show(null)}
      >
        {chart.current !== null && tools?.tipOf(chart.current, now)}
      </div>
      {tools === null ? <figcaption class="quiet">{hint}</figcaption> : <tools.ChartFoot {...now} />}
    </figure>
  );
}

function sizeOf(box: HTMLElement) {
  return { width: Math.max(box.clientWidth, 200), height: Math.max(box.clientHeight, 120) };
}

/** What a chart is built anew for; other changes only replace its data. */
function structureOf({ x, y, lines, fills = [], height }: LineChartProps): string {
  const strokes = lines.map((l) => [l.key, l.stroke]);
  return JSON.stringify([strokes, fills, x.log, y.log, x.label, y.label, x.ticks, y.ticks, height]);
}

function dataOf({ xs, lines }: LineChartProps): uPlot.AlignedData {
  return [[...xs], ...lines.map((l) => [...l.values])];
}

type Latest = { current: LineChartProps };

interface Reader {
  readonly zoom: Zoom;
  readonly show: (part: Zoom["part"]) => void;
  readonly setAt: (index: number | null) => void;
}

function optionsOf(latest: Latest, box: HTMLElement, { zoom, show, setAt }: Reader): uPlot.Options {
  const { x, y, lines, fills = [] } = latest.current;
  const indexOf = (key: string) => lines.findIndex((l) => l.key === key) + 1;
  const axis = (side: "x" | "y", scale: Axis): uPlot.Axis => ({
    scale: side,
    side: side === "x" ? 2 : 3,
    stroke: () => inkOf(box, "muted"),
    grid: { show: side === "y", stroke: () => inkOf(box, "rule"), width: 1 },
    ticks: { stroke: () => inkOf(box, "rule"), width: 1, size: 5 },
    font: tickFont,
    size: side === "x" ? 30 : 52,
    ...(scale.log === true
      ? {
          splits: (_u: uPlot, _i: number, min: number, max: number) => decadeTicks(min, max),
          filter: (u: uPlot, splits: number[]) => (side === "x" ? roomFor(splits, u.width) : splits),
        }
      : {}),
    ...(scale.ticks === undefined ? {} : { splits: () => (scale.ticks ?? []).map((t) => t.at) }),
    label: scale.label,
    labelFont: tickFont,
    labelSize: 18,
    labelGap: 2,
    values: (u, splits) =>
      side === "x" && scale.ticks !== undefined
        ? labelsApart(u, splits, (v) => tickText(scale, v))
        : splits.map((v) => (v === null ? null : tickText(scale, v))),
  });
  return {
    ...sizeOf(box),
    legend: { show: false },
    cursor: { y: false, points: { show: false }, drag: { x: true, y: false, setScale: false } },
    padding: [12, 12, 4, 0],
    scales: {
      x: {
        time: false,
        distr: x.log === true ? 3 : 1,
        range: () => [...(zoom.part ?? latest.current.x.range)] as const,
      },
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
      setSelect: [
        ({ select: { left, width }, posToVal }) => {
          // A press that slips is no drag.
          if (width > 8) show([posToVal(left, "x"), posToVal(left + width, "x")]);
        },
      ],
      drawAxes: [(u) => latest.current.under?.paint(u, (name) => inkOf(box, name))],
      draw: [
        (u) => {
          latest.current.over?.paint(u, (name) => inkOf(box, name));
          tools?.drawLabels(u, latest.current.lines, (name) => inkOf(box, name));
        },
      ],
    },
  };
}

function tickText(scale: Axis, value: number): string {
  const text = scale.ticks?.find((t) => t.at === value)?.label ?? (scale.tick ?? plainDecimal)(value);
  return shownAs.value(text);
}

/** On a narrow picture only whole decades keep their labels, so that they do not run into each other. */
function roomFor(splits: number[], width: number): (number | null)[] {
  if (splits.length * 44 < width) return splits;
  return splits.map((v) => (Number.isInteger(Math.log10(v)) ? v : null));
}
