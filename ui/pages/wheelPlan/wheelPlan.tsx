import { MillForm } from "#ui/pages/equipment/millForm.tsx";
import { NewMill } from "#ui/pages/equipment/newMill.tsx";
import { TrialForm } from "#ui/pages/equipment/trialForm.tsx";
import { Folded } from "#ui/parts/folded.tsx";
import { figures, rpm, unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { later } from "#ui/parts/later.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { Grinding } from "./grinding.tsx";
import { InBandMap } from "./inBandMap.tsx";
import { outlierLot } from "./outlierLot.ts";
import { countLot } from "./priors.ts";
import { RefiringTable } from "./refiringTable.tsx";
import { RegressionTable } from "./regressionTable.tsx";
import { TrialTable } from "./trialTable.tsx";
import { cautions, curveProblems, plan, settingFault, speedRpm, speeds, suggestion } from "./wheel.ts";
import { WheelControls } from "./wheelControls.tsx";
import { faults, mill } from "./wheelEntries.ts";
import { WheelProduct } from "./wheelProduct.tsx";
import { WheelSpeed } from "./wheelSpeed.tsx";

const Streams = later(
  "the stream balance",
  async () => (await import("#ui/pages/equipment/streamBalance.tsx")).StreamBalance,
);
const Batch = later(
  "batch milling",
  async () => (await import("#ui/pages/equipment/batchMilling.tsx")).BatchMilling,
);
const Wheelless = later(
  "the mill without a wheel",
  async () => (await import("#ui/pages/equipment/pressureMill.tsx")).PressureMill,
);

/** Which wheel speed next, and where the product will lie on the band. */
export function WheelPlan() {
  if (mill.value === null)
    return (
      <>
        <h1>No mill is kept yet. Its wheel, gas and rated speed are needed to plan a run.</h1>
        <NewMill />
      </>
    );
  const answer = plan.value;
  const warnings = [...new Set([...(answer?.warnings ?? []), ...(suggestion.value?.warnings ?? [])])];
  return (
    <>
      <h1 aria-live="polite">{unbroken(headline())}</h1>
      <p class="lead">{unbroken(targetWords())}</p>
      <OddLot />
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
      <Folded summary="Stream balance: feed, fines and coarse of a separator" of={Streams} />
      <Folded summary="Batch milling: how long to a size" of={Batch} />
      <Folded summary="A mill without a wheel: pressure and feed" of={Wheelless} />
      <RegressionTable />
      <RefiringTable />
      <TrialTable />
      <TrialForm kept={mill.value} />
      <MillForm key={`${mill.value.id} ${mill.value.version}`} kept={mill.value} />
    </>
  );
}

function speedWords(): string {
  const at = speeds.value;
  return at === null
    ? ""
    : `The wheel's rim runs at ${figures(at.tipSpeedMPerS)} m/s, the gas enters it at ${figures(at.radialGasSpeedMPerS)} m/s.`;
}

/** What would make the answer surer is one press away. */
function OddLot() {
  const { value: lot } = outlierLot;
  return lot === null ? null : (
    <p>
      <button type="button" onClick={() => countLot(lot.id, false)}>
        Leave {lot.name} out, which re-firing changed otherwise
      </button>
    </p>
  );
}

/** The answer, or why there is none: never the answer to what was entered before. */
function headline(): string {
  const answer = plan.value;
  if (answer === null)
    return settingFault.value ?? faults.speed.value ?? "Nothing is predicted with what was entered.";
  return answer.words.refused || answer.words.short || `Nothing is known at ${rpm(speedRpm.value)}.`;
}

function targetWords(): string {
  if (settingFault.value !== null) return "";
  if (faults.target.value !== null) return faults.target.value;
  const words = suggestion.value?.words;
  return words === undefined ? "" : words.target || words.refused;
}
