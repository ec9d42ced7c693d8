import { netKinds, netOf } from "#model/pictures/nets.ts";
import { roundTicks } from "#model/pictures/picture.ts";
import { marked } from "#ui/charts/chartMarks.ts";
import type { Stroke } from "#ui/charts/ink.ts";
import { LineChart } from "#ui/charts/lineChart.tsx";
import { Choice } from "#ui/parts/choice.tsx";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { familyName } from "#ui/parts/familyName.ts";
import { figures } from "#ui/parts/format.ts";
import { drawnFits, net, runDrawn, runs } from "./fitsState.ts";

const strokes: readonly Stroke[] = ["product", "stage-1", "stage-2"];

/** One run on a probability net, and the residuals of the fits below it, in points. */
export function FitPictures() {
  const fits = drawnFits.value;
  const run = runDrawn.value;
  if (run === null || fits.length === 0) return null;
  const picture = netOf(net.value, run.distribution, fits);
  const most = Math.max(0.5, ...fits.map((f) => f.maxGapPoints)) * 1.15;
  const range = [picture.sizesUm[0] ?? 0.1, picture.sizesUm.at(-1) ?? 100] as const;
  const x = { label: "size, µm", range, log: true, show: (v: number) => `${Number(v.toPrecision(3))} µm` };
  const sizes = fits[0]?.residuals.map((r) => r.sizeUm) ?? [];
  const misfits = fits.map((f) => `${familyName(f.family)} at most ${figures(f.maxGapPoints)} points`);
  return (
    <>
      <p>
        <Choice
          label="Axes"
          value={net.value}
          options={netKinds}
          onChange={(kind) => {
            net.value = kind;
          }}
        />
        <Choice
          label="Run"
          value={run.name}
          options={runs.value.map((r) => r.name)}
          onChange={(name) => {
            runDrawn.choose(name);
          }}
        />
      </p>
      <ErrorBoundary what="The net">
        <LineChart
          finding={`${run.name} on the ${net.value}: points measured, lines fitted. ${misfits.join(", ")}.`}
          height={260}
          x={x}
          y={{
            label: "undersize, %",
            range: picture.range,
            ticks: picture.ticks,
          }}
          xs={picture.sizesUm}
          lines={fits.map((f, i) => ({
            key: f.family,
            label: familyName(f.family),
            stroke: strokes[i] ?? "stage-3",
            values: picture.heights[i] ?? [],
            labelAt: [-1.4, -0.2, 0.9][i] ?? 0,
          }))}
          over={marked(picture.points.map((p) => ({ kind: "point" as const, small: true, ...p })))}
        />
      </ErrorBoundary>
      <ErrorBoundary what="The residuals">
        <p class="quiet">Residuals of {run.name}: measured minus fitted, in points.</p>
        <LineChart
          finding={`Residuals of the fits to ${run.name}: ${misfits.join(", ")}.`}
          height={150}
          x={x}
          y={{
            label: "points",
            range: [-most, most],
            ticks: roundTicks(-most, most, 4).map((at) => ({ at, label: `${at}`.replace("-", "−") })),
          }}
          xs={sizes}
          lines={fits.map((f, i) => ({
            key: f.family,
            label: familyName(f.family),
            stroke: strokes[i] ?? "stage-3",
            values: f.residuals.map((r) => r.points),
          }))}
        />
      </ErrorBoundary>
    </>
  );
}
