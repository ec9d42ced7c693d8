import { linkTo } from "#ui/data/address.ts";
import { mill } from "#ui/pages/equipment/mill.ts";
import { NewMill } from "#ui/pages/equipment/newMill.tsx";
import { figures, rpm, unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { Grinding } from "./grinding.tsx";
import { InBandMap } from "./inBandMap.tsx";
import { outlierLot } from "./outlierLot.ts";
import { includeLot } from "./priors.ts";
import { RefiringTable } from "./refiringTable.tsx";
import { RegressionTable } from "./regressionTable.tsx";
import { TrialTable } from "./trialTable.tsx";
import { cautions, curveProblems, plan, settingFault, speedRpm, speeds, suggestion } from "./wheel.ts";
import { WheelControls } from "./wheelControls.tsx";
import { faults } from "./wheelEntries.ts";
import { WheelProduct } from "./wheelProduct.tsx";
import { WheelSpeed } from "./wheelSpeed.tsx";

/** Which speed, flow and feed to set next, and where the product will lie in the band. */
export function WheelPlan() {
  if (mill.value === null)
    return (
      <>
        <h1>No mill is saved yet. Planning a run needs its wheel, gas and rated speed.</h1>
        <NewMill />
      </>
    );
  const answer = plan.value;
  const warnings = [...new Set([...(answer?.warnings ?? []), ...(suggestion.value?.warnings ?? [])])];
  return (
    <>
      <h1 aria-live="polite">{unbroken(headline())}</h1>
      <p class="lead">{unbroken(targetWords())}</p>
      <OutlierLot />
      {warnings.length > 0 && (
        <ul class="problems">
          {warnings.map((w) => (
            <li key={w}>{w}</li>
          ))}
        </ul>
      )}
      <ProblemList problems={curveProblems.value} />
      <div class="columns">
        <div>
          <WheelControls />
          {answer !== null && settingFault.value === null && answer.words.refused === "" && (
            <p class="quiet" id="rests">
              {unbroken(answer.words.rests)}
            </p>
          )}
          <HowFound
            of={[
              "D50 from trials",
              "wheel cut",
              "slip",
              "gas",
              "set-back for re-firing",
              "chance in band",
              "grinding and wheel, steady",
            ]}
            inputs={[]}
          >
            <WheelProduct />
            <WheelSpeed />
          </HowFound>
          <InBandMap />
          {answer !== null && (
            <p class="quiet">
              {speedWords()} {answer.words.physics}
            </p>
          )}
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
      <Grinding />
      <RegressionTable />
      <RefiringTable />
      <TrialTable />
      <p>
        <a href={linkTo({ page: "equipment" })}>Edit the mill and its trials on the page Equipment</a>
      </p>
    </>
  );
}

function speedWords(): string {
  const at = speeds.value;
  return at === null
    ? ""
    : `Tip speed of the wheel ${figures(at.tipSpeedMPerS)} m/s; radial gas speed at its rim ${figures(at.radialGasSpeedMPerS)} m/s.`;
}

/** Excluding a lot that re-firing changed differently tightens the prediction. */
function OutlierLot() {
  const { value: lot } = outlierLot;
  return lot === null ? null : (
    <p>
      <button type="button" onClick={() => includeLot(lot.id, false)}>
        Exclude {lot.name}, an outlier on re-firing
      </button>
    </p>
  );
}

/** The answer, or why there is none: never the answer to what was entered before. */
function headline(): string {
  const answer = plan.value;
  if (answer === null) return settingFault.value ?? faults.speed.value ?? "No prediction for these entries.";
  return answer.words.refused || answer.words.short || `No prediction at ${rpm(speedRpm.value)}.`;
}

function targetWords(): string {
  if (settingFault.value !== null) return "";
  if (faults.target.value !== null) return faults.target.value;
  const words = suggestion.value?.words;
  return words === undefined ? "" : words.target || words.refused;
}
