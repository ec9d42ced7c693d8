import { computed } from "@preact/signals";
import { type Curve, shifted } from "#distributions/curve.ts";
import { type WholeProduct, wholeProduct } from "#model/mill/grinding/wholeProduct.ts";
import { refiredCurve } from "#model/mill/prediction/refiredCurve.ts";
import { meanShift } from "#model/mill/prediction/refiringGrowth.ts";
import { predictedCurve } from "#model/mill/trials/predictedCurve.ts";
import { fitted, tied } from "./product.ts";
import { fittedMill, plan, speedRpm, trialCurves } from "./wheel.ts";

/** What is drawn on the band, and where its shape is from. */
export interface Drawn extends Omit<WholeProduct, "recycle"> {
  /** Of the balance; null where a trial's curve is drawn in its place. */
  readonly recycle: WholeProduct["recycle"] | null;
  readonly from: "balance fitted" | "balance assumed" | { readonly trial: string };
}

/** The nearest trial's curve slid to the expected median: until the balance is fitted, and where it has no such product. */
const slid = computed<Drawn | null>(() => {
  const d50 = plan.value?.d50Um ?? null;
  const found = d50 === null ? null : predictedCurve(trialCurves.value, speedRpm.value, d50.median);
  if (d50 === null || found === null) return null;
  const to = (um: number): Curve => shifted(found.curve, um / d50.median);
  return {
    curve: found.curve,
    finer: to(d50.low),
    coarser: to(d50.high),
    recycle: null,
    from: { trial: found.from.name },
  };
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

/** The whole milled product to expect at the slider's speed; null where there is none. */
export const predicted = computed<Drawn | null>(() => {
  const d50 = plan.value?.d50Um ?? null;
  const of = byBalance.value;
  // Where the re-fired powder is drawn too, the strip is its own: the milled one's is not worked out.
  const asked =
    d50 === null || fittedMill.value?.growth == null ? d50 : { ...d50, low: d50.median, high: d50.median };
  const whole = asked === null || of === null ? null : wholeProduct(of.kernel, of.shape, asked, null);
  return of === null || whole === null ? slid.value : { ...whole, from: of.from };
});

/** The same after re-firing. */
export const predictedRefired = computed<Drawn | null>(() => {
  const growth = fittedMill.value?.growth ?? null;
  const milled = predicted.value;
  const d50 = plan.value?.refired?.d50Um ?? null;
  if (growth === null || milled === null || d50 === null) return null;
  const fired = (curve: Curve) => refiredCurve(curve, growth.shift);
  const of = byBalance.value;
  if (of !== null && milled.from === of.from) {
    const meanGrowth = Math.exp(meanShift(growth.shift, 50));
    const whole = wholeProduct(of.kernel, of.shape, d50, { growth: meanGrowth, fired });
    if (whole !== null) return { ...whole, from: of.from };
  }
  const curve = fired(milled.curve);
  const to = (um: number): Curve => shifted(curve, um / d50.median);
  return { curve, finer: to(d50.low), coarser: to(d50.high), recycle: null, from: milled.from };
});

export const whyNoCurve = computed(() =>
  predicted.value !== null ? null : "No curve: no D50 is predicted at this setting.",
);
