import { useEffect } from "preact/hooks";
import type { StageStep } from "#model/answers/compare/stageStep.ts";
import { sameInAllRuns } from "#model/answers/compare/stagesWords.ts";
import { type Estimate, isSameInAllRuns } from "#model/lot/leaveOneOut.ts";
import { finesBars } from "#model/pictures/finesBars.ts";
import { plainDecimal } from "#model/pictures/scale.ts";
import { counted } from "#model/words/wording.ts";
import { PictureFigure } from "#ui/charts/picture.tsx";
import { linkTo } from "#ui/data/address.ts";
import { lot } from "#ui/data/selection.ts";
import { useMaterial } from "#ui/data/steps.ts";
import { figures, range, signed, unbroken, withUnit } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { SizesBeside } from "./sizesBeside.tsx";
import { followNotedMasses, massesG, measuredStages, steps, tryMass } from "./stagesState.ts";

/** The lot step by step: what each stage changed, its fines balance, and what re-firing undid. */
export function StageSteps() {
  useEffect(followNotedMasses, []);
  // What the lab calls its steps, and what is done in each, comes with the material.
  useMaterial(lot.value?.material ?? "");
  const answer = steps.value;
  if (answer === null || answer.steps.length === 0) return null;
  const inSteps = answer.steps.map((s) => s.sentence).join(" ");
  const lost = answer.sentence.slice(inSteps.length).trim();
  return (
    <section aria-labelledby="steps">
      <h2 id="steps">Stage by stage: {lot.value?.name ?? "the lot"}</h2>
      <HowFound
        of={[
          "step between stages",
          "milling gain lost",
          "joining, growth",
          "distances",
          "noise floor",
          "undersize, percentiles",
          "geometric area",
          "second hump",
        ]}
        inputs={[
          `${lot.value?.name ?? ""}, ${lot.value?.densityGPerCm3 ?? ""} g/cm³.`,
          ...measuredStages.value.map(({ name, measurements: m }) => `${name}: ${counted(m.length, "run")}.`),
        ]}
      >
        {lost !== "" && <p class="lead">{unbroken(lost)}</p>}
        <ol class="steps-in-words">
          {answer.steps.map((step) => (
            <li key={step.to}>{unbroken(step.sentence)}</li>
          ))}
        </ol>
        <h3>Sizes of the stages</h3>
        <SizesBeside
          of={measuredStages.value}
          what="Stage"
          name={`Sizes of the stages of ${lot.value?.name ?? "the lot"}`}
        />
        <h3>Fines balance</h3>
        <PictureFigure
          draw={(width) => finesBars(answer.steps, { name: balanceName(answer.steps), width })}
          caption="Percentage points below each size that a step made (up, filled) or lost (down, hollow); whiskers are 95 % intervals."
        />
        <StepTable steps={answer.steps} />
        <p class="quiet">With 95 % intervals where both stages have at least three runs.</p>
      </HowFound>
      <Masses />
      <ProblemList problems={answer.problems} />
    </section>
  );
}

function StepTable({ steps: shown }: { steps: readonly StageStep[] }) {
  return (
    <Wide name="Stages side by side">
      <table>
        <thead>
          <tr>
            <th scope="col">Change</th>
            {shown.map((s) => (
              <th scope="col" key={s.to}>
                {s.from} → {s.to}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          <Row name="Mean size change" steps={shown} say={(s) => sure(s.meanShiftPercent, "%")} />
          {["10", "50", "90"].map((p) => (
            <Row key={p} name={`D${p}`} steps={shown} say={(s) => times(s.percentileRatios[p] ?? null)} />
          ))}
          <Row name="Max gap between the curves" how="distances" steps={shown} say={gap} />
          <Row
            name="Geometric area"
            how="geometric area"
            steps={shown}
            say={(s) => (s.areaM2PerG === null ? "no density" : sure(s.areaM2PerG.change, "m²/g"))}
          />
          {(shown[0]?.fines ?? []).map(({ belowUm }, i) => (
            <Row
              key={belowUm}
              name={`Fines below ${plainDecimal(belowUm)} µm`}
              steps={shown}
              say={(s) => finesText(s.fines[i])}
            />
          ))}
          <Row name="Humps" how="second hump" steps={shown} say={humps} />
        </tbody>
      </table>
    </Wide>
  );
}

/** Masses to be tried, so that the balance counts grams. */
function Masses() {
  return (
    <details>
      <summary>Mass of powder at each stage</summary>
      <p class="quiet">
        With masses, the fines balance is given in grams too. A setting “mass” in g on the page{" "}
        <a href={linkTo({ page: "lot" })}>Lot</a> is used here and in the report; what is entered here is not
        saved.
      </p>
      {measuredStages.value.map(({ stage, name }) => (
        <NumberField
          key={stage}
          label={`Mass ${name}`}
          unit="g"
          value={massesG.value[stage] ?? null}
          min={0}
          mayBeEmpty
          onChange={(v) => tryMass(stage, v)}
        />
      ))}
    </details>
  );
}

/** All that a screen reader gets before the table. */
function balanceName(of: readonly StageStep[]): string {
  return `Fines made and lost: ${of.map((s) => `${s.from} to ${s.to} ${s.fines.map((f) => `${finesText(f)} below ${plainDecimal(f.belowUm)} µm`).join(", ")}`).join("; ")}.`;
}

function Row(props: {
  name: string;
  /** The row of docs/science.md that tells how these are found. */
  how?: string;
  steps: readonly StageStep[];
  say: (step: StageStep) => string;
}) {
  return (
    <tr>
      <th scope="row">{props.name}</th>
      {props.steps.map((s) => (
        <td key={s.to} data-how={props.how ?? "step between stages"}>
          {unbroken(props.say(s))}
        </td>
      ))}
    </tr>
  );
}

function sure(estimate: Estimate, unit: string): string {
  const { value, interval } = estimate;
  const ends =
    interval === null
      ? ""
      : isSameInAllRuns(estimate)
        ? ` (${sameInAllRuns})`
        : ` (${signed(interval.low, "")}to ${signed(interval.high, "").trim()})`;
  return `${signed(value, unit)}${ends}`;
}

function times(ratio: Estimate | null): string {
  if (ratio === null || ratio.value === null) return "not known";
  const ends =
    ratio.interval === null
      ? ""
      : isSameInAllRuns(ratio)
        ? ` (${sameInAllRuns})`
        : ` (${range(ratio.interval.low, ratio.interval.high, "")})`;
  return `× ${figures(ratio.value)}${ends}`;
}

function gap({ from, maxGapPoints, atUm, noisePoints }: StageStep): string {
  const noise = noisePoints === null ? "" : `; between ${from} runs ${figures(noisePoints)}`;
  return `${withUnit(maxGapPoints, "points")} at ${withUnit(atUm, "µm")}${noise}`;
}

function finesText(entry: StageStep["fines"][number] | undefined): string {
  if (entry === undefined) return "";
  const grams = entry.grams?.change.value;
  return `${sure(entry.points, "points")}${grams == null ? "" : `, ${signed(grams, "g")}`}`;
}

function humps({ humps: { before, after, change } }: StageStep): string {
  if (change === "gained") return "a second one appeared";
  if (change === "lost") return "the second one is gone";
  return change === "same" ? `${before}, as before` : `${before ?? "not known"} → ${after ?? "not known"}`;
}
