import { counted, figures } from "#model/words/wording.ts";
import { Overlay } from "#ui/charts/overlay.tsx";
import { band, overlaySizes, productByVolume } from "#ui/data/selection.ts";
import { range, rpm } from "#ui/parts/format.ts";
import { pictureHeight } from "./pictureHeight.ts";
import { type Drawn, predicted, predictedRefired, whyNoCurve } from "./predicted.ts";
import { fitted } from "./product.ts";
import { plan, speedRpm } from "./wheel.ts";

/** The predicted product over its band: as milled, and after re-firing where lots show how it changes. */
export function WheelProduct() {
  const milled = predicted.value;
  const refired = predictedRefired.value;
  const main =
    refired !== null
      ? { label: "re-fired, predicted", curve: refired.curve, isPredicted: true }
      : milled !== null
        ? { label: "milled, predicted", curve: milled.curve, isPredicted: true }
        : null;
  const others = [
    ...(productByVolume.value === null ? [] : [{ label: "lot as measured", curve: productByVolume.value }]),
    ...(refired === null || milled === null ? [] : [{ label: "milled, predicted", curve: milled.curve }]),
  ];
  return (
    <Overlay
      finding={finding()}
      height={pictureHeight.value}
      sizesUm={overlaySizes.value}
      view="undersize"
      band={band.value}
      product={main}
      ribbon={refired ?? milled}
      others={others}
    />
  );
}

function finding(): string {
  const answer = plan.value;
  if (predicted.value === null || answer === null || answer.d50Um === null) return whyNoCurve.value ?? "";
  const milled = `milled D50 ${figures(answer.d50Um.median)} µm, ${range(answer.d50Um.low, answer.d50Um.high, "µm")}`;
  const after = answer.refired?.d50Um;
  return after === undefined
    ? `Predicted at ${rpm(speedRpm.value)}: ${milled}.`
    : `Predicted at ${rpm(speedRpm.value)}: ${milled}; re-fired ${figures(after.median)} µm, ${range(after.low, after.high, "µm")}.`;
}

/** What the lines and the strip of the picture are. */
export function productWords(): string {
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
