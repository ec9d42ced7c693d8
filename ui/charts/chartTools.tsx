import type uPlot from "uplot";
import { plainDecimal } from "#model/pictures/scale.ts";
import { later } from "../parts/later.tsx";
import { FootButtons } from "./footButtons.tsx";
import { hint, type LineChartProps, type Zoom } from "./lineChartProps.ts";

export { drawLabels } from "./labels.ts";

const ExportChart = later("the export", async () => (await import("./exportChart.tsx")).ExportChart);

/** What a reader of a chart has chosen: a place of the x axis, and the part of it that is shown. */
interface Reading {
  readonly at: number | null;
  readonly setAt: (index: number | null) => void;
  readonly zoom: Zoom;
  readonly show: (part: Zoom["part"]) => void;
  readonly props: LineChartProps;
}

/** So many times closer, or farther, a press of a key brings. */
const closer = 1.5;

/** Arrow keys walk along the axis, plus and minus zoom about the place reached, Escape shows all. */
export function takeKey(event: KeyboardEvent, plot: uPlot, now: Reading): void {
  const { at, setAt, zoom, show, props } = now;
  const { xs } = props;
  const middle = Math.floor(xs.length / 2);
  if (event.key === "Escape" && zoom.part !== null) {
    event.stopPropagation();
    show(null);
  } else if (event.key === "+" || event.key === "-") {
    const part = around(xs[at ?? middle] ?? 0, zoom.part ?? props.x.range, {
      times: event.key === "+" ? 1 / closer : closer,
      isLog: props.x.log === true,
    });
    const [from, to] = props.x.range;
    const within = [Math.max(part[0], from), Math.min(part[1], to)] as const;
    show(within[0] <= from && within[1] >= to ? null : within);
  } else if (event.key === "ArrowRight" || event.key === "ArrowLeft") {
    const few = xs.length < 60;
    const stride = event.shiftKey ? 10 : few ? 1 : 2;
    const step = event.key === "ArrowRight" ? stride : -stride;
    const next = Math.min(Math.max((at ?? middle) + step, 0), xs.length - 1);
    plot.setCursor({ left: plot.valToPos(xs[next] ?? 0, "x"), top: plot.bbox.height / devicePixelRatio / 2 });
    setAt(next);
  } else return;
  event.preventDefault();
}

function around(
  place: number,
  [from, to]: readonly [number, number],
  { times, isLog }: { readonly times: number; readonly isLog: boolean },
): readonly [number, number] {
  return isLog
    ? [place * (from / place) ** times, place * (to / place) ** times]
    : [place + (from - place) * times, place + (to - place) * times];
}

/** The lines with a name and a value at a place of the axis. */
function valuesAt(at: number, { y, lines }: LineChartProps) {
  const show = y.show ?? plainDecimal;
  return lines
    .filter((l) => l.label !== "")
    .map(({ label, values, said }) => {
      if (said !== undefined) return { label, text: said[at] ?? "–" };
      const value = values[at] ?? null;
      return { label, text: value === null ? "–" : show(Number(value.toPrecision(3))) };
    });
}

function placeText(at: number, { x, xs }: LineChartProps): string {
  return (x.show ?? plainDecimal)(Number((xs[at] ?? 0).toPrecision(3)));
}

/** The values at a place of the x axis in words; nothing where none is chosen. */
function readOut({ at, props }: Reading): string {
  return at === null
    ? ""
    : [placeText(at, props), ...valuesAt(at, props).map((v) => `${v.label} ${v.text}`)].join(" · ");
}

/** Below a chart: what is read out, the way back from a part of it to all, and its export. */
export function ChartFoot(now: Reading) {
  return (
    <div class="chart-foot quiet">
      <figcaption>
        {now.zoom.part === null ? hint : "A part of the axis is shown; a double press or Escape shows all."}
        <span class="unseen" aria-live="polite">
          {readOut(now)}
        </span>
      </figcaption>
      <FootButtons isPart={now.zoom.part !== null} showAll={() => now.show(null)}>
        <ExportChart {...now.props} />
      </FootButtons>
    </div>
  );
}

/** What stands beside the pointer: the place, and every line's value there. */
export function tipOf(plot: uPlot, { at, props }: Reading) {
  const left = plot.cursor.left ?? -1;
  if (at === null || left < 0) return null;
  const offset = plot.bbox.left / devicePixelRatio;
  const width = plot.bbox.width / devicePixelRatio;
  const side =
    left > width / 2
      ? { right: `${plot.width - offset - left + 12}px` }
      : { left: `${offset + left + 12}px` };
  return (
    <div class="tip" style={{ ...side, top: "16px" }} aria-hidden="true">
      <strong>{placeText(at, props)}</strong>
      {valuesAt(at, props).map(({ label, text }) => (
        <div key={label}>
          {label} {text}
        </div>
      ))}
    </div>
  );
}
