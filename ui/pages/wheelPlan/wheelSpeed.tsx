import type { ChartMark } from "#model/pictures/chartPicture.ts";
import { marked } from "#ui/charts/chartMarks.ts";
import { LineChart } from "#ui/charts/lineChart.tsx";
import type { DrawnLine } from "#ui/charts/lineChartProps.ts";
import { mill } from "#ui/data/mill.ts";
import { band } from "#ui/data/selection.ts";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { figures, rpm, unbroken } from "#ui/parts/format.ts";
import { pictureHeight } from "./pictureHeight.ts";
import { ribbons } from "./ribbons.ts";
import {
  feedKgPerH,
  flowM3PerH,
  movedTrials,
  settingFault,
  speedRange,
  speedRpm,
  targetBeforeRefiring,
} from "./wheel.ts";

/** D50 of the milled powder against wheel speed: prediction with its ranges, trials, target before re-firing, rated speed. */
export function WheelSpeed() {
  const r = ribbons.value;
  if (settingFault.value !== null) return null;
  if (r === null)
    return (
      <p class="quiet">The prediction over speed cannot be drawn: there are no trials and no rated speed.</p>
    );
  const points = movedTrials.value;
  const lines: DrawnLine[] = [
    { key: "outer-high", label: "95th percentile", stroke: "edge", values: r.outerHigh },
    { key: "outer-low", label: "5th percentile", stroke: "edge", values: r.outerLow },
    { key: "inner-high", label: "", stroke: "edge", values: r.innerHigh },
    { key: "inner-low", label: "", stroke: "edge", values: r.innerLow },
    { key: "median", label: "milled D50", stroke: "median", values: r.median },
  ];
  const known = [...r.outerHigh, ...r.outerLow, ...points.map((t) => t.d50MovedUm)].filter((v) => v !== null);
  return (
    <ErrorBoundary what="The speed picture">
      <LineChart
        finding={`Milled D50 falls with wheel speed; ${points.length} trials as points; the shaded areas hold 50 and 90 % of further runs.`}
        height={pictureHeight.value}
        x={{
          label: "wheel speed, rpm",
          range: speedRange.value,
          show: rpm,
          tick: (v) => Math.round(v).toLocaleString("en-GB"),
        }}
        y={{
          label: "milled D50, µm",
          range: [Math.min(...known) / 1.15, Math.max(...known) * 1.1],
          log: true,
          show: (v) => `${Number(v.toPrecision(3))} µm`,
        }}
        xs={r.speeds}
        lines={lines}
        fills={[
          { highKey: "outer-high", lowKey: "outer-low", ink: "ribbon" },
          { highKey: "inner-high", lowKey: "inner-low", ink: "ribbon-inner" },
        ]}
        over={marked(marks())}
      />
    </ErrorBoundary>
  );
}

/** The milled D50 that leads into the band: set back by what re-firing adds, where lots show it. */
function targetOfMill(): { low: number; high: number; label: string } | null {
  const row = band.value?.rows.find((r) => r.limit === "d50Um");
  const set = targetBeforeRefiring.value.find((r) => r.limit === "d50Um");
  const stage = band.value?.stage ?? "";
  if (set?.low != null && set.high !== null)
    return { low: set.low, high: set.high, label: `target before re-firing` };
  return row?.low == null || row.high === null
    ? null
    : {
        low: row.low,
        high: row.high,
        label: `${stage} band`,
      };
}

function marks(): ChartMark[] {
  const rated = mill.value?.mill.ratedSpeedRpm ?? null;
  const strip = targetOfMill();
  return [
    ...(strip === null ? [] : [{ kind: "strip" as const, ...strip }]),
    ...movedTrials.value.map((t) => ({ kind: "point" as const, x: t.trial.speedRpm, y: t.d50MovedUm })),
    ...(rated === null
      ? []
      : [{ kind: "wall" as const, x: rated, label: `rated ${rated.toLocaleString("en-GB")}` }]),
    { kind: "pointer" as const, x: speedRpm.value, label: rpm(speedRpm.value) },
  ];
}

/** What the lines and points of the picture are. */
export function SpeedWords() {
  const at = `${figures(flowM3PerH.value)} m³/h${feedKgPerH.value === null ? "" : ` and ${figures(feedKgPerH.value)} kg/h`}`;
  const most = Math.max(...movedTrials.value.map((t) => Math.abs(t.d50MovedUm / t.trial.d50Um - 1)), 0);
  const points =
    most > 0.0005
      ? `Points: trials adjusted to this setting by the fitted exponents, by up to ${figures(100 * most)} %; the table below gives them as measured.`
      : "Points: trials as measured.";
  const line = `Line: predicted median at ${at}; shaded areas: 50 and 90 % of further runs. ${points}`;
  return <p class="quiet">{unbroken(line)}</p>;
}
