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
  targetD50Um,
  triedBar,
  triedFeedKgPerH,
} from "./pressureMillState.ts";

const tried = [
  { signal: triedBar, label: "Nozzle pressure", unit: "bar gauge" },
  { signal: triedFeedKgPerH, label: "Feed to the jet mill", unit: "kg/h" },
  { signal: targetD50Um, label: "Target D50 of the jet mill", unit: "µm" },
] as const;

const faultOf = (value: number | null, unit: string) =>
  value !== null && !(value > 0) ? `Must be above 0 ${unit}.` : null;

/** A jet mill without a classifier wheel, set by pressure and feed alone; predicted from its own trials. */
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
        {plan?.sentence ?? "Nothing is predicted: every entry must be above zero."}
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
        Priors, used until you change them or trials replace them: D50 is proportional to pressure and feed to
        these exponents. {cautionForJets}
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
  const name = factor === "pressure" ? "Exponent of pressure" : "Exponent of feed";
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
        label="SD"
        fullName={`${name}, SD`}
        unit=""
        value={priors[factor].sd}
        onChange={(v) => {
          if (v !== null && v > 0) enter({ sd: v });
        }}
      />
    </>
  );
}

/** Name, rating and trials, which are saved. */
function Machine() {
  const saved = savedPressureMill.value;
  const { name, ratedBar, text } = entered.value;
  const { problems } = pressureTrials.value;
  const fault = faultOf(ratedBar, "bar");
  return (
    <>
      <TextField label="Name of the jet mill" value={name} onChange={(v) => enterPressureMill({ name: v })} />
      <NumberField
        label="Rated pressure, from the plate"
        unit="bar gauge"
        value={ratedBar}
        mayBeEmpty
        fault={fault}
        onChange={(v) => enterPressureMill({ ratedBar: v })}
      />
      <br />
      <label for="pressure-trials">Trials of the jet mill, under the headings </label>
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
          Save the jet mill and its trials
        </button>{" "}
        {saved !== null && (
          <WithReason verb="Delete" of={saved.name} onDone={(why) => remove("pressure-mills", saved, why)} />
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
    ...(targetD50Um.value === null || !(targetD50Um.value > 0)
      ? []
      : [
          {
            kind: "strip" as const,
            low: targetD50Um.value / 1.002,
            high: targetD50Um.value * 1.002,
            label: "target",
          },
        ]),
  ];
  return (
    <LineChart
      finding={`D50 against nozzle pressure; ${trials.length} trials as points; the shaded area holds 90 % of further runs.`}
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
        { key: "high", label: "95th percentile", stroke: "edge", values: at.map((a) => a.high) },
        { key: "low", label: "5th percentile", stroke: "edge", values: at.map((a) => a.low) },
        { key: "median", label: "D50", stroke: "median", values: at.map((a) => a.median) },
      ]}
      fills={[{ highKey: "high", lowKey: "low", ink: "ribbon" }]}
      over={marked(marks)}
    />
  );
}
