import { figures } from "#model/words/wording.ts";
import { Overlay } from "#ui/charts/overlay.tsx";
import { band, overlaySizes, productByVolume } from "#ui/data/selection.ts";
import { range, rpm } from "#ui/parts/format.ts";
import { pictureHeight } from "./pictureHeight.ts";
import { predicted, predictedRefired, whyNoCurve } from "./predicted.ts";
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
