import { computed } from "@preact/signals";
import type { Curve } from "#distributions/curve.ts";
import { type WholeProduct, wholeProduct } from "#model/mill/grinding/wholeProduct.ts";
import { refiredCurve } from "#model/mill/prediction/refiredCurve.ts";
import { meanShift } from "#model/mill/prediction/refiringGrowth.ts";
import { tiedToPrediction } from "#model/mill/prediction/tiedToSizes.ts";
import { predictedCurve } from "#model/mill/trials/predictedCurve.ts";
import type { SizeInterval } from "#model/mill/trials/trialFit.ts";
import { fitted, tied } from "./product.ts";
import { fittedMill, plan, speedRpm, trialCurves } from "./wheel.ts";

/** What is drawn on the band, and where its shape is from. */
export interface Drawn extends Omit<WholeProduct, "recycle"> {
  /** Of the balance; null where a trial's curve is drawn in its place. */
  readonly recycle: WholeProduct["recycle"] | null;
  readonly from: "balance fitted" | "balance assumed" | { readonly trial: string };
}

/** The nearest trial's curve, to be slid to the expected sizes: until the balance is fitted, and where it has no such product. */
const slid = computed<Drawn | null>(() => {
  const d50 = plan.value?.d50Um ?? null;
  const found = d50 === null ? null : predictedCurve(trialCurves.value, speedRpm.value, d50.median);
  if (found === null) return null;
  const { curve, from } = found;
  return { curve, finer: curve, coarser: curve, recycle: null, from: { trial: from.name } };
});

const byBalance = computed(() => {
  const kernel = tied.value;
  const circuit = fitted.value;
  return kernel === null || circuit === null
    ? null
    : {
        kernel,
        shape: circuit.shape,
        from: circuit.curves > 0 ? ("balance fitted" as const) : ("balance assumed" as const),
      };
});

/** The whole milled product to expect at the slider's speed, with the D10, D50 and D90 that are said of it; null where there is none. */
export const predicted = computed<Drawn | null>(() => {
  const sizes = milledSizes.value;
  const of = byBalance.value;
  if (sizes === null) return null;
  const whole = of === null ? null : wholeProduct(of.kernel, of.shape, sizes.d50Um, null);
  const drawn: Drawn | null = of === null || whole === null ? slid.value : { ...whole, from: of.from };
  return drawn === null ? null : tiedToPrediction(drawn, sizes);
});

/** Where the re-fired powder is drawn too, the strip is its own: the milled one's is not worked out. */
const milledSizes = computed(() => {
  const { d10Um = null, d50Um = null, d90Um = null } = plan.value ?? {};
  if (d50Um === null) return null;
  const isLine = fittedMill.value?.growth != null;
  const asLine = <I extends SizeInterval | null>(size: I): I =>
    isLine && size !== null ? { ...size, low: size.median, high: size.median } : size;
  return { d10Um: asLine(d10Um), d50Um: asLine(d50Um), d90Um: asLine(d90Um) };
});

/** The same after re-firing. */
export const predictedRefired = computed<Drawn | null>(() => {
  const growth = fittedMill.value?.growth ?? null;
  const milled = predicted.value;
  const sizes = plan.value?.refired ?? null;
  if (growth === null || milled === null || sizes === null) return null;
  const fired = (curve: Curve) => refiredCurve(curve, growth.shift);
  const of = byBalance.value;
  const meanGrowth = Math.exp(meanShift(growth.shift, 50));
  const whole =
    of !== null && milled.from === of.from
      ? wholeProduct(of.kernel, of.shape, sizes.d50Um, { growth: meanGrowth, fired })
      : null;
  const curve = fired(milled.curve);
  const drawn: Drawn = {
    ...(whole ?? { curve, finer: curve, coarser: curve, recycle: null }),
    from: milled.from,
  };
  return tiedToPrediction(drawn, sizes);
});

export const whyNoCurve = computed(() =>
  predicted.value !== null ? null : "No curve: no D50 is predicted at this setting.",
);
