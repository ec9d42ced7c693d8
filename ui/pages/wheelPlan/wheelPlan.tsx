import { refusedWords, shortWords, targetWords } from "#model/answers/mill/wheelHeadline.ts";
import { shortCaution } from "#model/mill/shortCaution.ts";
import { linkTo } from "#ui/data/address.ts";
import { mill } from "#ui/data/mill.ts";
import { material } from "#ui/data/selection.ts";
import { useMaterial } from "#ui/data/steps.ts";
import { rpm, unbroken } from "#ui/parts/format.ts";
import { later } from "#ui/parts/later.tsx";
import { NearSection } from "#ui/parts/nearSection.tsx";
import { addStyles } from "#ui/parts/styles.ts";
import { likeliestWords } from "./inBandMapWords.tsx";
import { NumberRow } from "./numberRow.tsx";
import { usePictureHeight } from "./pictureHeight.ts";
import { PlanPictures } from "./planPictures.tsx";
import { isPlanGrounded } from "./refiring.ts";
import { belowPart, showProduct } from "./showProduct.ts";
import {
  fittedMill,
  plan,
  planOptions,
  settingFault,
  speedRpm,
  suggestion,
  suggestionOptions,
} from "./wheel.ts";
import { WheelControls } from "./wheelControls.tsx";
import { faults } from "./wheelEntries.ts";
import css from "./wheelPlan.css?inline";

const NewMill = later(
  "the form of a mill",
  async () => (await import("#ui/pages/equipment/newMill.tsx")).NewMill,
);
const PlanCautions = later("the cautions", async () => (await import("./planCautions.tsx")).PlanCautions);
const PlanGround = later("what the plan rests on", async () => (await import("./planGround.tsx")).PlanGround);
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
      <NearSection heading="What the plan rests on" of={PlanGround} />
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
      <p class="lead">{unbroken(speedWords())}</p>
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

/** The answer, or why there is none: never the answer to what was entered before. */
function headline(): string {
  const answer = plan.value;
  if (answer === null) return settingFault.value ?? faults.speed.value ?? "No prediction for these entries.";
  return (
    refusedWords(answer) ||
    shortWords(answer, planOptions.value) ||
    `No prediction at ${rpm(speedRpm.value)}.`
  );
}

/** What is planned: the mill, and the powder it is to mill; a number of the plan holds for no other. */
function ofWhat(): string {
  const machine = mill.value?.name ?? "";
  return material.value === null || material.value === "" ? machine : `${machine}, ${material.value}`;
}

/** The speed for the target, and where the chance is greatest, which need be neither that nor the one set. */
function speedWords(): string {
  if (settingFault.value !== null) return "";
  if (faults.target.value !== null) return faults.target.value;
  const answer = suggestion.value;
  const forTarget =
    answer === null
      ? ""
      : targetWords(answer, fittedMill.value, suggestionOptions.value) || refusedWords(answer);
  return `${forTarget} ${likeliestWords()}`.trim();
}
