import { type Line, LineChart } from "../charts/lineChart.tsx";
import { Overlay } from "../charts/overlay.tsx";
import { ErrorBoundary } from "../parts/errorBoundary.tsx";
import { figures, range, rpm } from "../parts/format.ts";
import { NumberField } from "../parts/numberField.tsx";
import { trials } from "../state/kept.ts";
import { refine } from "../state/place.ts";
import { band, overlaySizes, productCurve } from "../state/subject.ts";
import {
  cautions,
  chosenFeed,
  chosenFlow,
  feedKgPerH,
  flowM3PerH,
  mill,
  plan,
  predicted,
  ribbons,
  slider,
  speedRange,
  speedRpm,
  suggestion,
  targetD50Um,
  whyNoCurve,
} from "../state/wheel.ts";
import { MillForm } from "./millForm.tsx";

/** Which wheel speed next, and where the product will lie on the band. */
export function WheelPlan() {
  const answer = plan.value;
  if (mill.value === null || answer === null)
    return <h1>No mill is kept yet. Its wheel, gas and rated speed are needed to plan a run.</h1>;
  const warnings = [...new Set([...answer.warnings, ...(suggestion.value?.warnings ?? [])])];
  return (
    <>
      <h1 aria-live="polite">{answer.sentence}</h1>
      {suggestion.value !== null && <p class="lead">{suggestion.value.sentence}</p>}
      {warnings.length > 0 && (
        <ul class="problems">
          {warnings.map((w) => (
            <li key={w}>{w}</li>
          ))}
        </ul>
      )}
      <div class="columns">
        <div>
          <Controls />
          <Predicted />
          <SpeedPicture />
        </div>
        <section aria-labelledby="cautions">
          <h2 id="cautions" style={{ marginTop: 0 }}>
            Before you change the speed
          </h2>
          <ul class="cautions">
            {cautions.value.map((c) => (
              <li key={c}>{c}</li>
            ))}
          </ul>
        </section>
      </div>
      <TrialTable />
      <MillForm key={mill.value.id} kept={mill.value} />
    </>
  );
}

function Controls() {
  const { min, max } = slider.value;
  const set = (speed: number) => refine({ speedRpm: speed });
  return (
    <div>
      <label for="speed">
        Wheel speed: <strong>{rpm(speedRpm.value)}</strong>
      </label>
      <input
        id="speed"
        type="range"
        min={min}
        max={max}
        step={10}
        value={speedRpm.value}
        onInput={(event) => set(event.currentTarget.valueAsNumber)}
      />
      <NumberField
        label="Speed"
        unit="rpm"
        min={min}
        max={max}
        step={10}
        value={speedRpm.value}
        onChange={(v) => {
          if (v !== null && v > 0) set(v);
        }}
      />
      <NumberField
        label="Gas flow at the wheel"
        unit="m³/h"
        min={0.1}
        value={flowM3PerH.value}
        onChange={(v) => {
          if (v === null || v > 0) chosenFlow.value = v;
        }}
        mayBeEmpty
      />
      <NumberField
        label="Feed"
        unit="kg/h"
        min={0.1}
        value={feedKgPerH.value === null ? null : Number(feedKgPerH.value.toPrecision(3))}
        onChange={(v) => {
          if (v === null || v > 0) chosenFeed.value = v;
        }}
        mayBeEmpty
      />
      <NumberField
        label="Target D50"
        unit="µm"
        min={0.01}
        value={targetD50Um.value}
        onChange={(v) => {
          if (v === null || v > 0) targetD50Um.value = v;
        }}
        mayBeEmpty
      />
    </div>
  );
}

function Predicted() {
  const found = predicted.value;
  const d50 = plan.value?.d50Um ?? null;
  const finding =
    found === null || d50 === null
      ? (whyNoCurve.value ?? "")
      : `Predicted product at ${rpm(speedRpm.value)}: D50 ${figures(d50.median)} µm, ${range(d50.low, d50.high, "µm")}.`;
  return (
    <>
      <Overlay
        finding={finding}
        height={300}
        sizesUm={overlaySizes.value}
        view="undersize"
        band={band.value}
        product={found === null ? null : { label: "predicted", curve: found.curve, isPredicted: true }}
        others={productCurve.value === null ? [] : [{ label: "the lot now", curve: productCurve.value }]}
      />
      <p class="quiet">
        {found === null
          ? whyNoCurve.value
          : `Long dashes: ${found.from.name}'s curve slid along ln size to the predicted D50. The band is for ${band.value?.stage ?? "the product"}; a milled powder may coarsen again when it is fired.`}
      </p>
    </>
  );
}

function SpeedPicture() {
  const r = ribbons.value;
  if (r === null)
    return <p class="quiet">No law of speed can be drawn: there are no trials and no rated speed.</p>;
  const rated = mill.value?.mill.ratedSpeedRpm ?? null;
  const target = band.value?.rows.find((row) => row.limit === "d50Um");
  const lines: Line[] = [
    { key: "outer-high", label: "", stroke: "edge", values: r.outerHigh },
    { key: "outer-low", label: "", stroke: "edge", values: r.outerLow },
    { key: "inner-high", label: "", stroke: "edge", values: r.innerHigh },
    { key: "inner-low", label: "", stroke: "edge", values: r.innerLow },
    { key: "median", label: "D50", stroke: "median", values: r.median },
  ];
  const known = [...r.outerHigh, ...r.outerLow, ...trials.value.map((t) => t.trial.d50Um)].filter(
    (v) => v !== null,
  );
  return (
    <ErrorBoundary what="The speed picture">
      <h2>D50 against wheel speed</h2>
      <LineChart
        finding={`D50 falls with speed; ${trials.value.length} trials as points; the shaded stretches hold half and nine tenths of further runs.`}
        height={280}
        x={{
          label: "wheel speed, rpm",
          range: speedRange.value,
          show: rpm,
          tick: (v) => Math.round(v).toLocaleString("en-GB"),
        }}
        y={{
          label: "D50, µm",
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
        marks={[
          ...(target?.low != null && target.high !== null
            ? [
                {
                  kind: "strip" as const,
                  low: target.low,
                  high: target.high,
                  label: `band for ${band.value?.stage ?? ""}`,
                },
              ]
            : []),
          ...trials.value.map((t) => ({ kind: "point" as const, x: t.trial.speedRpm, y: t.trial.d50Um })),
          ...(rated === null
            ? []
            : [{ kind: "wall" as const, x: rated, label: `rated ${rated.toLocaleString("en-GB")}` }]),
          { kind: "pointer" as const, x: speedRpm.value, label: rpm(speedRpm.value) },
        ]}
      />
    </ErrorBoundary>
  );
}

function TrialTable() {
  const show = (v: number | null) => (v === null ? "–" : figures(v));
  return (
    <details>
      <summary>The {trials.value.length} trials</summary>
      <div class="scroll">
        <table>
          <thead>
            <tr>
              <th scope="col">Trial</th>
              <th scope="col">Speed, rpm</th>
              <th scope="col">Gas flow, m³/h</th>
              <th scope="col">Feed, kg/h</th>
              <th scope="col">D10, µm</th>
              <th scope="col">D50, µm</th>
              <th scope="col">D90, µm</th>
              <th scope="col">Curve</th>
            </tr>
          </thead>
          <tbody>
            {trials.value.map((t) => (
              <tr key={t.id}>
                <th scope="row">{t.name}</th>
                <td class="number">{show(t.trial.speedRpm)}</td>
                <td class="number">{show(t.trial.gasFlowM3PerH)}</td>
                <td class="number">{show(t.trial.feedKgPerH)}</td>
                <td class="number">{show(t.trial.d10Um)}</td>
                <td class="number">{show(t.trial.d50Um)}</td>
                <td class="number">{show(t.trial.d90Um)}</td>
                <td>{t.curve === null ? "–" : "whole curve"}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
