import { shortCaution } from "#model/mill/shortCaution.ts";
import { linkTo } from "#ui/data/address.ts";
import { mill } from "#ui/data/mill.ts";
import { material } from "#ui/data/selection.ts";
import { useMaterial } from "#ui/data/steps.ts";
import { figures, rpm, unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { later } from "#ui/parts/later.tsx";
import { NearSection } from "#ui/parts/nearSection.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { addStyles } from "#ui/parts/styles.ts";
import { NumberRow } from "./numberRow.tsx";
import { usePictureHeight } from "./pictureHeight.ts";
import { PictureWords, PlanPictures } from "./planPictures.tsx";
import { isPlanGrounded } from "./refiring.ts";
import { belowPart, showProduct } from "./showProduct.ts";
import { curveProblems, plan, settingFault, speedRpm, speeds, suggestion } from "./wheel.ts";
import { WheelControls } from "./wheelControls.tsx";
import { faults } from "./wheelEntries.ts";
import css from "./wheelPlan.css?inline";

const NewMill = later(
  "the form of a mill",
  async () => (await import("#ui/pages/equipment/newMill.tsx")).NewMill,
);
const PlanCautions = later("the cautions", async () => (await import("./planCautions.tsx")).PlanCautions);
const PlanBelow = later("the trials", async () => (await import("./planBelow.tsx")).PlanBelow);

/** Which speed, flow and feed to set next, and where the product will lie in the band. */
export function WheelPlan() {
  addStyles(css);
  // What the lab calls its steps comes with the material.
  useMaterial(material.value ?? "");
  if (mill.value === null)
    return (
      <>
        <h1>No mill is saved yet. Planning a run needs its wheel, gas and rated speed.</h1>
        <NewMill />
      </>
    );
  if (!isPlanGrounded.value) return <p class="quiet">Loading the lots that the plan learns from …</p>;
  return (
    <>
      <PlanFrame />
      <h2>What the plan rests on</h2>
      <PlanGround />
      <NearSection id={belowPart} of={PlanBelow} />
      <section aria-labelledby="cautions">
        <h2 id="cautions" tabIndex={-1}>
          Before you change the speed
        </h2>
        <NearSection of={PlanCautions} />
      </section>
      <p>
        <a href={linkTo({ page: "equipment" })}>Edit the mill on the page Equipment</a>
      </p>
    </>
  );
}

/** The whole decision: what is said, what is set, both pictures, the numbers, the caution. */
function PlanFrame() {
  const saved = mill.value;
  const answer = plan.value;
  usePictureHeight();
  const warnings = [...new Set([...(answer?.warnings ?? []), ...(suggestion.value?.warnings ?? [])])];
  return (
    <div class="plan">
      <h1 aria-live="polite">{unbroken(headline())}</h1>
      <p class="lead">{unbroken(targetWords())}</p>
      <p class="plan-of quiet">{ofWhat()}</p>
      {warnings.length > 0 && (
        <ul class="problems">
          {warnings.map((w) => (
            <li key={w}>{w}</li>
          ))}
        </ul>
      )}
      <WheelControls />
      <PlanPictures />
      <NumberRow />
      {saved !== null && (
        <p class="plan-caution">
          {shortCaution(saved.mill)}{" "}
          <button type="button" class="small" onClick={goToCautions}>
            All cautions
          </button>{" "}
          <button type="button" class="small" onClick={showProduct}>
            Show throughput, yield and energy
          </button>
        </p>
      )}
    </div>
  );
}

function goToCautions(): void {
  const heading = document.getElementById("cautions");
  heading?.scrollIntoView();
  heading?.focus({ preventScroll: true });
}

/** What the answer rests on, what the pictures show, and how it is found. */
function PlanGround() {
  const answer = plan.value;
  return (
    <>
      {answer !== null && settingFault.value === null && answer.words.refused === "" && (
        <p class="quiet" id="rests">
          {unbroken(answer.words.rests)}
        </p>
      )}
      <ProblemList problems={curveProblems.value} />
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
        <PictureWords />
      </HowFound>
      {answer !== null && (
        <p class="quiet">
          {speedWords()} {answer.words.physics}
        </p>
      )}
    </>
  );
}

function speedWords(): string {
  const at = speeds.value;
  return at === null
    ? ""
    : `Tip speed of the wheel ${figures(at.tipSpeedMPerS)} m/s; radial gas speed at its rim ${figures(at.radialGasSpeedMPerS)} m/s.`;
}

/** The answer, or why there is none: never the answer to what was entered before. */
function headline(): string {
  const answer = plan.value;
  if (answer === null) return settingFault.value ?? faults.speed.value ?? "No prediction for these entries.";
  return answer.words.refused || answer.words.short || `No prediction at ${rpm(speedRpm.value)}.`;
}

/** What is planned: the mill, and the powder it is to mill; a number of the plan holds for no other. */
function ofWhat(): string {
  const machine = mill.value?.name ?? "";
  return material.value === null || material.value === "" ? machine : `${machine}, ${material.value}`;
}

function targetWords(): string {
  if (settingFault.value !== null) return "";
  if (faults.target.value !== null) return faults.target.value;
  const words = suggestion.value?.words;
  return words === undefined ? "" : words.target || words.refused;
}
