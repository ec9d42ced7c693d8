import { cautionForJets } from "#model/mill/cautions.ts";
import type { ChartMark } from "#model/pictures/chartPicture.ts";
import { marked } from "#ui/charts/chartMarks.ts";
import { LineChart } from "#ui/charts/lineChart.tsx";
import { remove } from "#ui/data/saving.ts";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { figures } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";
import {
  areTrialsUnread,
  entered,
  enterPressureMill,
  isPressureMillEdited,
  pressureCurve,
  pressureHeadings,
  pressurePlan,
  pressureTrials,
  savedPressureMill,
  savePressureMill,
  triedBar,
  triedFeedKgPerH,
  wantedD50Um,
} from "./pressureMillState.ts";

const tried = [
  { signal: triedBar, label: "Nozzle pressure", unit: "bar gauge" },
  { signal: triedFeedKgPerH, label: "Feed to the jets", unit: "kg/h" },
  { signal: wantedD50Um, label: "D50 to reach", unit: "µm" },
] as const;

const faultOf = (value: number | null, unit: string) =>
  value !== null && !(value > 0) ? `Must be above 0 ${unit}.` : null;

/** A jet mill without a wheel: pressure and feed are all there is to set; from its own trials. */
export function PressureMill() {
  const plan = pressurePlan.value;
  return (
    <>
      <Machine />
      <p>
        {tried.map(({ signal, label, unit }) => (
          <NumberField
            key={label}
            label={label}
            unit={unit}
            value={signal.value}
            mayBeEmpty
            fault={faultOf(signal.value, unit)}
            onChange={(v) => {
              signal.value = v;
            }}
          />
        ))}
      </p>
      <p class="lead" aria-live="polite">
        {plan?.sentence ?? "Every entry must be above zero, so nothing is answered."}
      </p>
      {(plan?.warnings.length ?? 0) > 0 && (
        <ul class="problems">
          {plan?.warnings.map((w) => (
            <li key={w}>{w}</li>
          ))}
        </ul>
      )}
      <ErrorBoundary what="The picture of pressures">
        <Picture />
      </ErrorBoundary>
      <p class="quiet">
        Assumed until you change it or trials say otherwise: D50 goes with pressure and with feed to these
        powers. {cautionForJets}
      </p>
      <p>
        {(["pressure", "feed"] as const).map((factor) => (
          <Exponent key={factor} factor={factor} />
        ))}
      </p>
    </>
  );
}

function Exponent({ factor }: { factor: "pressure" | "feed" }) {
  const { priors } = entered.value;
  const enter = (change: Partial<(typeof priors)[typeof factor]>) =>
    enterPressureMill({ priors: { ...priors, [factor]: { ...priors[factor], ...change } } });
  const name = factor === "pressure" ? "Exponent of the pressure" : "Exponent of the feed";
  return (
    <>
      <NumberField
        label={name}
        unit=""
        value={priors[factor].mean}
        onChange={(v) => {
          if (v !== null) enter({ mean: v });
        }}
      />
      <NumberField
        label="give or take"
        fullName={`${name}, give or take`}
        unit=""
        value={priors[factor].sd}
        onChange={(v) => {
          if (v !== null && v > 0) enter({ sd: v });
        }}
      />
    </>
  );
}

/** Name, rating and trials, which are kept. */
function Machine() {
  const kept = savedPressureMill.value;
  const { name, ratedBar, text } = entered.value;
  const { problems } = pressureTrials.value;
  const fault = faultOf(ratedBar, "bar");
  return (
    <>
      <TextField label="Its name" value={name} onChange={(v) => enterPressureMill({ name: v })} />
      <NumberField
        label="Rated pressure, from the plate"
        unit="bar gauge"
        value={ratedBar}
        mayBeEmpty
        fault={fault}
        onChange={(v) => enterPressureMill({ ratedBar: v })}
      />
      <br />
      <label for="pressure-trials">Its trials, under the headings </label>
      <code>{pressureHeadings}</code>
      <textarea
        id="pressure-trials"
        spellcheck={false}
        value={text}
        onInput={(event) => enterPressureMill({ text: event.currentTarget.value })}
      />
      <ProblemList problems={problems} />
      <p>
        <button
          type="button"
          disabled={
            !isPressureMillEdited.value ||
            areTrialsUnread.value ||
            name.trim() === "" ||
            fault !== null ||
            problems.length > 0
          }
          onClick={() => void savePressureMill()}
        >
          Keep this mill and its trials
        </button>{" "}
        {kept !== null && (
          <WithReason verb="Delete" of={kept.name} onDone={(why) => remove("pressure-mills", kept, why)} />
        )}
      </p>
    </>
  );
}

function Picture() {
  const curve = pressureCurve.value;
  if (curve === null) return null;
  const { pressures, at, trials } = curve;
  const sizes = [...at.flatMap((a) => [a.low, a.high]), ...trials.map((t) => t.d50Um)];
  const rated = entered.value.ratedBar;
  const marks: ChartMark[] = [
    ...trials.map((t) => ({ kind: "point" as const, x: t.pressureBar, y: t.d50Um })),
    ...(rated === null ? [] : [{ kind: "wall" as const, x: rated, label: `rated ${rated}` }]),
    ...(wantedD50Um.value === null || !(wantedD50Um.value > 0)
      ? []
      : [
          {
            kind: "strip" as const,
            low: wantedD50Um.value / 1.002,
            high: wantedD50Um.value * 1.002,
            label: "wanted",
          },
        ]),
  ];
  return (
    <LineChart
      finding={`D50 against nozzle pressure; ${trials.length} trials as points; the shaded stretch holds nine tenths of further runs.`}
      height={240}
      x={{
        label: "nozzle pressure, bar gauge",
        range: [(pressures[0] ?? 1) * 0.97, Math.max(pressures.at(-1) ?? 10, rated ?? 0) * 1.03],
        show: (v) => `${figures(v)} bar`,
      }}
      y={{
        label: "D50, µm",
        range: [Math.min(...sizes) / 1.1, Math.max(...sizes) * 1.1],
        log: true,
        show: (v) => `${figures(v)} µm`,
      }}
      xs={pressures}
      lines={[
        { key: "high", label: "95 % below", stroke: "edge", values: at.map((a) => a.high) },
        { key: "low", label: "5 % below", stroke: "edge", values: at.map((a) => a.low) },
        { key: "median", label: "D50", stroke: "median", values: at.map((a) => a.median) },
      ]}
      fills={[{ highKey: "high", lowKey: "low", ink: "ribbon" }]}
      over={marked(marks)}
    />
  );
}
