import { LineChart } from "#ui/charts/lineChart.tsx";
import type { DrawnLine } from "#ui/charts/lineChartProps.ts";
import { signed } from "#ui/parts/format.ts";
import { compared, comparedSizes, difference, sideName } from "./compared.ts";

/** The undersize of the second side less the first's, over size, with its interval where both have runs for one. */
export function Difference({ finding }: { finding: string }) {
  const [pair, found] = [compared.value, difference.value];
  if (pair === null || found === null) return null;
  const xs = comparedSizes.value;
  const hasInterval = found.every(({ interval }) => interval !== null);
  const lines: DrawnLine[] = [
    ...(hasInterval
      ? [
          {
            key: "high",
            label: "",
            stroke: "edge" as const,
            values: found.map((f) => f.interval?.high ?? null),
          },
          {
            key: "low",
            label: "",
            stroke: "edge" as const,
            values: found.map((f) => f.interval?.low ?? null),
          },
        ]
      : []),
    { key: "none", label: "", stroke: "thin reference", values: xs.map(() => 0) },
    {
      key: "difference",
      label: `${sideName(pair.b)} less ${sideName(pair.a)}`,
      stroke: "product",
      values: found.map(({ value }) => value),
      said: found.map(({ value, interval }) =>
        interval === null
          ? signed(value, "points")
          : `${signed(value, "points")} (${signed(interval.low, "").trim()} to ${signed(interval.high, "").trim()})`,
      ),
    },
  ];
  const ends = found.flatMap(({ value, interval }) =>
    [value, interval?.low ?? null, interval?.high ?? null].filter((v) => v !== null),
  );
  const [low, high] = [Math.min(0, ...ends), Math.max(0, ...ends)];
  const room = 0.08 * Math.max(high - low, 1);
  return (
    <>
      <LineChart
        finding={`Difference of the undersize over size. ${finding}`}
        x={{
          label: "size, µm",
          range: [xs[0] ?? 0.1, xs.at(-1) ?? 100],
          log: true,
          show: (v) => `${Number(v.toPrecision(3))} µm`,
        }}
        y={{ label: "points finer", range: [low - room, high + room] }}
        xs={xs}
        lines={lines}
        fills={hasInterval ? [{ highKey: "high", lowKey: "low", ink: "ribbon" }] : []}
        height="fill"
      />
      <p class="quiet under-chart">
        {hasInterval
          ? "Above zero: more powder finer than this size. Shaded: 95 % interval at each size by itself."
          : "Above zero: more powder finer than this size. An interval needs three runs of both."}
      </p>
    </>
  );
}
