import { physicsWords, restsWords } from "#model/answers/mill/wheelSentence.ts";
import { counted, figures } from "#model/words/wording.ts";
import { band } from "#ui/data/selection.ts";
import { unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { later } from "#ui/parts/later.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { view } from "./planPictures.tsx";
import { type Drawn, predicted, predictedRefired, whyNoCurve } from "./predicted.ts";
import { fitted } from "./product.ts";
import { curveProblems, fittedMill, plan, planOptions, settingFault, speeds } from "./wheel.ts";

const SpeedWords = later("its words", async () => (await import("./wheelSpeed.tsx")).SpeedWords);

/** What the answer rests on, what the pictures show, and how it is found. */
export function PlanGround() {
  const answer = plan.value;
  return (
    <>
      {answer !== null && settingFault.value === null && answer.refused.length === 0 && (
        <p class="quiet" id="rests">
          {unbroken(restsWords(answer, fittedMill.value, planOptions.value))}
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
          {speedWords()} {physicsWords(answer)}
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

/** What both pictures show, in words. */
function PictureWords() {
  return view.value === "Predicted curve" ? <p class="quiet">{unbroken(productWords())}</p> : <SpeedWords />;
}

/** What the lines and the strip of the picture are. */
function productWords(): string {
  const milled = predicted.value;
  if (milled === null) return whyNoCurve.value ?? "";
  const shape = shapeWords(milled.from);
  const stage = band.value?.stage ?? "the product";
  return predictedRefired.value === null
    ? `Long dashes: predicted milled product, ${shape}; the shaded strip is its 90 % range. The band is for ${stage} powder.`
    : `Long dashes: predicted product after re-firing, each size grown as in your lots; the shaded strip is its 90 % range. Thin line: predicted milled product, ${shape}. The band is for ${stage} powder: the long dashes should lie in it.`;
}

function shapeWords(from: Drawn["from"]): string {
  if (from === "balance fitted")
    return `from the grinding balance fitted to ${counted(fitted.value?.curves ?? 0, "whole curve")} within ${figures(fitted.value?.rmsPoints ?? 0, 2)} points rms, scaled to the D50 predicted from the trials (checked against exact solutions, not against published mill runs)`;
  if (from === "balance assumed")
    return "from the grinding balance with an assumed shape, since no trial has its whole curve, scaled to the predicted D50 (checked against exact solutions, not against published mill runs)";
  return `the curve of ${from.trial} shifted along ln size to the predicted D50`;
}
