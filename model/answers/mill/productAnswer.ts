import { type Curve, knownUndersizeAt, sizeAt } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { geometricSurface } from "#distributions/moments.ts";
import { type JetCost, jetCost } from "#model/mill/grinding/cost.ts";
import { curveByClass } from "#model/mill/grinding/feed.ts";
import type { FittedCircuit } from "#model/mill/grinding/fitCircuit.ts";
import { measuredCurve } from "#model/mill/grinding/measuredCurve.ts";
import { type CircuitShape, productTied, type TiedProduct, tiedKernel } from "#model/mill/grinding/tied.ts";
import type { Mill } from "#model/mill/mill.ts";
import { tiedToPrediction } from "#model/mill/prediction/tiedToSizes.ts";
import { passing } from "#model/mill/separation/separation.ts";
import type { SizeInterval } from "#model/mill/trials/trialFit.ts";
import { counted, figures, listed, misfitText } from "#model/words/wording.ts";
import { overGrindingLoad } from "./circuitAnswer.ts";

/** A number with what it would be at both ends of the D50 interval. */
export interface Ranged {
  readonly middle: number;
  readonly low: number;
  readonly high: number;
}

export interface ProductOptions {
  /** Of the milled product, from the trials. */
  readonly d50Um: SizeInterval;
  /** Of the milled product, from the trials, which the product is tied to as well; null where no trial has them. */
  readonly d10Um?: SizeInterval | null;
  readonly d90Um?: SizeInterval | null;
  /** D50 that throughput is compared with: that of the trials' middle. */
  readonly referenceD50Um: number;
  readonly flowM3PerH: number;
  readonly feedKgPerH: number | null;
  readonly finesBelowUm: number;
  readonly residueAboveUm: number;
}

export interface ProductAnswer {
  readonly product: Curve;
  /** The product at the lower and upper end of the D50 interval. */
  readonly finer: Curve;
  readonly coarser: Curve;
  /** What the zone holds. */
  readonly held: Curve;
  /** What the wheel returns to it: the circulating load. */
  readonly returned: Curve;
  /** Grade efficiency: share returned, by size. */
  readonly thrownBack: (sizeUm: number) => number;
  readonly d10Um: Ranged;
  readonly d90Um: Ranged;
  readonly finesShare: Ranged;
  readonly residueShare: Ranged;
  readonly surfaceM2PerG: Ranged;
  readonly cutUm: number;
  readonly recycle: number;
  /** Feed at the same powder held, over that at the reference D50; its range is over the load. */
  readonly throughput: Ranged;
  readonly load: number;
  /** By how many per cent D50 falls when the cut falls by 1 %. */
  readonly followsCut: number;
  readonly jet: JetCost | null;
  readonly sentence: string;
}

/** Classes per doubling of size for what is shown. */
const classesPerOctave = 8;

/**
 * The whole product of the steady balance whose median is the trials' own, with what it costs.
 *
 * @returns null where the balance has no product so coarse: the feed itself is nearly that fine
 * Source: docs/science.md. Checked against exact solutions, not against published mill runs.
 */
export function productAnswer(
  mill: Mill,
  fitted: FittedCircuit,
  feed: Curve,
  options: ProductOptions,
): ProductAnswer | null {
  const { d50Um, referenceD50Um } = options;
  const kernel = tiedKernel(feed, fitted.shape, Math.min(d50Um.low, referenceD50Um), classesPerOctave);
  const of = (um: number, shape: CircuitShape = fitted.shape) => productTied(kernel, shape, um);
  const middle = of(d50Um.median);
  const finer = of(d50Um.low);
  const coarser = of(d50Um.high);
  const reference = of(referenceD50Um);
  if (middle === null || finer === null || coarser === null || reference === null) return null;
  const { d10Um = null, d90Um = null } = options;
  const whole = tiedToPrediction(
    { curve: middle.productCurve, finer: finer.productCurve, coarser: coarser.productCurve },
    { d10Um, d50Um, d90Um },
  );
  const ranged = (value: (curve: Curve) => number | null) =>
    rangedOver([whole.curve, whole.finer, whole.coarser], value);
  const followsCut = followingOf(finer, coarser);
  const throughput = throughputOf(fitted, reference.residence / middle.residence, (shape) => {
    const there = of(d50Um.median, shape);
    const then = of(referenceD50Um, shape);
    return there === null || then === null ? null : then.residence / there.residence;
  });
  const answer = {
    product: whole.curve,
    finer: whole.finer,
    coarser: whole.coarser,
    held: heldCurve(middle),
    returned: returnedCurve(middle),
    thrownBack: (sizeUm: number) => 1 - passing(middle.separation)(sizeUm),
    d10Um: ranged((c) => sizeAt(c, 0.1)),
    d90Um: ranged((c) => sizeAt(c, 0.9)),
    finesShare: ranged((c) => knownUndersizeAt(c, options.finesBelowUm)),
    residueShare: ranged((c) => {
      const under = knownUndersizeAt(c, options.residueAboveUm);
      return under === null ? null : 1 - under;
    }),
    surfaceM2PerG: ranged(
      (c) => geometricSurface(measuredCurve(c), mill.particleDensityGPerCm3)?.m2PerG ?? null,
    ),
    cutUm: middle.separation.cutUm,
    recycle: middle.recycle,
    throughput,
    load: middle.load,
    followsCut,
    jet: jetCost(mill, options.flowM3PerH, options.feedKgPerH),
  };
  return { ...answer, sentence: sentenceOf(answer, fitted, options) };
}

/** Over the middle, the finer and the coarser product; NaN, shown as not known, where one of them does not tell. */
function rangedOver(curves: readonly Curve[], value: (curve: Curve) => number | null): Ranged {
  const [middle, ...ends] = curves.map((curve) => value(curve) ?? Number.NaN);
  if (middle === undefined) throw new DomainError("curves", "must hold the middle product", 0);
  return { middle, low: Math.min(middle, ...ends), high: Math.max(middle, ...ends) };
}

function heldCurve({ holdUpS, meanResidenceS, kernel }: TiedProduct): Curve {
  return curveByClass(
    holdUpS.map((held) => held / meanResidenceS),
    kernel.grid,
  );
}

function returnedCurve({ holdUpS, product, kernel, recycle }: TiedProduct): Curve {
  // Offered and not passed: per unit feed, the offer rate times what is held, less the product.
  const held = holdUpS.reduce((sum, h) => sum + h, 0);
  const offerPerS = (1 + recycle) / held;
  return curveByClass(
    holdUpS.map((h, i) => Math.max(0, offerPerS * h - (product[i] ?? 0)) / recycle),
    kernel.grid,
  );
}

function followingOf(finer: TiedProduct, coarser: TiedProduct): number {
  const [fine, coarse] = [sizeAt(finer.productCurve, 0.5), sizeAt(coarser.productCurve, 0.5)];
  const cut = Math.log(coarser.separation.cutUm / finer.separation.cutUm);
  return cut === 0 || fine === null || coarse === null ? Number.NaN : Math.log(coarse / fine) / cut;
}

/** Throughput over the loads that the curves leave open: percentiles alone do not tell how hard the zone grinds. */
function throughputOf(
  fitted: FittedCircuit,
  middle: number,
  at: (shape: CircuitShape) => number | null,
): Ranged {
  const { shape, loadRange } = fitted;
  const [low, high] = loadRange;
  const centre = Math.sqrt(low * high);
  const ends = [low, high].flatMap((load) => {
    const value = at({ ...shape, load: { at: "1 µm", value: (shape.load.value * load) / centre } });
    return value === null ? [] : [value];
  });
  return { middle, low: Math.min(middle, ...ends), high: Math.max(middle, ...ends) };
}

function sentenceOf(
  a: Omit<ProductAnswer, "sentence">,
  fitted: FittedCircuit,
  { d10Um = null, d50Um, d90Um = null, finesBelowUm, residueAboveUm }: ProductOptions,
): string {
  const between = ({ low, high }: Ranged, factor = 1) => `${figures(low * factor)}–${figures(high * factor)}`;
  const over =
    a.load > overGrindingLoad || a.followsCut < 0.5
      ? `The mill over-grinds: a 1 % finer cut lowers D50 by only ${figures(a.followsCut, 2)} %. A higher wheel speed hardly helps; more gas through the wheel or gentler grinding does.`
      : `A 1 % finer cut lowers D50 by ${figures(a.followsCut, 2)} %: the wheel controls the product, and the mill does not over-grind.`;
  return [
    `The steady-state grinding and classification model gives milled D10 ${figures(a.d10Um.middle)} µm (${between(a.d10Um)}), D90 ${figures(a.d90Um.middle)} µm (${between(a.d90Um)}), ${figures(100 * a.finesShare.middle)} % (${between(a.finesShare, 100)}) below ${finesBelowUm} µm, ${figures(100 * a.residueShare.middle)} % (${between(a.residueShare, 100)}) above ${residueAboveUm} µm and a geometric area of ${figures(a.surfaceM2PerG.middle)} m²/g (${between(a.surfaceM2PerG)}).`,
    `${tiedText(d10Um, d90Um)} The ranges follow the ${Math.round(100 * d50Um.level)} % ${d10Um === null && d90Um === null ? "interval of D50" : "intervals of these sizes"}.`,
    shapeText(fitted),
    `The circulating load is ${figures(a.recycle)} times the feed.`,
    over,
  ].join(" ");
}

/** Which sizes are the trials' own. */
function tiedText(d10Um: SizeInterval | null, d90Um: SizeInterval | null): string {
  const tied = [d10Um === null ? [] : ["D10"], ["D50"], d90Um === null ? [] : ["D90"]].flat();
  return `Tied to the ${listed(tied)} that the trials predict.`;
}

function shapeText({ curves, rmsPoints, status }: FittedCircuit): string {
  if (curves === 0 || rmsPoints === null)
    return "The shape of the product is assumed, because no trial has a whole curve.";
  const fit = `The grinding and classification model was fitted to ${counted(curves, "whole curve")} with a root-mean-square misfit of ${misfitText(rmsPoints, 2)} percentage points`;
  return status === "converged"
    ? `${fit}.`
    : `${fit}, but the fit did not converge (${status}): its parameters are unreliable.`;
}
