import { counted, figures } from "#model/words/wording.ts";
import { Overlay } from "#ui/charts/overlay.tsx";
import { band, overlaySizes, productByVolume } from "#ui/data/selection.ts";
import { range, rpm } from "#ui/parts/format.ts";
import { type Drawn, predicted, predictedRefired, whyNoCurve } from "./predicted.ts";
import { fitted } from "./product.ts";
import { plan, speedRpm } from "./wheel.ts";

/** The product to expect on its band: as milled, and as it will be once fired again where lots say how. */
export function WheelProduct() {
  const milled = predicted.value;
  const refired = predictedRefired.value;
  const main =
    refired !== null
      ? { label: "re-fired, expected", curve: refired.curve, isPredicted: true }
      : milled !== null
        ? { label: "milled, expected", curve: milled.curve, isPredicted: true }
        : null;
  const others = [
    ...(productByVolume.value === null ? [] : [{ label: "the lot now", curve: productByVolume.value }]),
    ...(refired === null || milled === null ? [] : [{ label: "milled, expected", curve: milled.curve }]),
  ];
  return (
    <>
      <Overlay
        finding={finding()}
        height={300}
        sizesUm={overlaySizes.value}
        view="undersize"
        band={band.value}
        product={main}
        ribbon={refired ?? milled}
        others={others}
      />
      <p class="quiet">{howDrawn()}</p>
    </>
  );
}

function finding(): string {
  const answer = plan.value;
  if (predicted.value === null || answer === null || answer.d50Um === null) return whyNoCurve.value ?? "";
  const milled = `milled D50 ${figures(answer.d50Um.median)} µm, ${range(answer.d50Um.low, answer.d50Um.high, "µm")}`;
  const after = answer.refired?.d50Um;
  return after === undefined
    ? `Expected at ${rpm(speedRpm.value)}: ${milled}.`
    : `Expected at ${rpm(speedRpm.value)}: ${milled}; re-fired ${figures(after.median)} µm, ${range(after.low, after.high, "µm")}.`;
}

function howDrawn(): string {
  const milled = predicted.value;
  if (milled === null) return whyNoCurve.value ?? "";
  const shape = shapeWords(milled.from);
  const stage = band.value?.stage ?? "the product";
  return predictedRefired.value === null
    ? `Long dashes: the milled product, ${shape}; its shaded strip holds 90 % of D50s. The band is for ${stage} powder.`
    : `Long dashes: the curve expected after re-firing, each size grown as in your lots; its shaded strip holds 90 % of D50s. Beneath it the milled product, ${shape}. The band is for ${stage} powder, so it is the long dashes that should lie in it.`;
}

function shapeWords(from: Drawn["from"]): string {
  if (from === "balance fitted")
    return `by the balance of grinding and wheel, fitted to ${counted(fitted.value?.curves ?? 0, "whole curve")} within ${figures(fitted.value?.rmsPoints ?? 0, 2)} points rms and tied to the trials' D50 (checked against exact solutions, not against published mill runs)`;
  if (from === "balance assumed")
    return "by the balance of grinding and wheel with an assumed shape, since no trial has its whole curve, tied to the expected D50 (checked against exact solutions, not against published mill runs)";
  return `${from.trial}'s curve, slid along ln size to the expected D50`;
}
