import { type Curve, sizeAt } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { itemAt } from "#distributions/lists.ts";
import type { Separation } from "#model/mill/separation/separation.ts";
import type { BreakageRate, Fragments } from "./breakage.ts";
import { curveByClass, feedByClass } from "./feed.ts";
import { fallingGrid, type Kernel, kernelOf } from "./kernel.ts";
import { passingByClass, type Steady, steadyState } from "./steady.ts";

/** A mill with a wheel at rest in its balance: what comes in, how it breaks, how the wheel parts it. */
export interface Circuit {
  /** Undersize of the feed; reaches 1 at its top. */
  readonly feed: Curve;
  readonly rate: BreakageRate;
  readonly fragments: Fragments;
  readonly separation: Separation;
  /** How often the wheel is offered what the zone holds, 1/s. */
  readonly offerPerS: number;
  /** Classes per doubling of size; 8 is the usual. */
  readonly classesPerOctave: number;
}

export type CircuitResult =
  | (Steady & {
      readonly stuckAtUm: null;
      readonly kernel: Kernel;
      readonly productCurve: Curve;
      readonly feedShares: Float64Array;
    })
  | { readonly stuckAtUm: number };

/** The finest class must hold next to nothing, and lie well under D10. */
const remainderLimit = 0.001;
const underD10 = 20;
const maxClasses = 1500;

/**
 * The steady product of a circuit. Classes fall from 1.2 times the feed's top; an ideal wheel has an edge on its cut, which
 * keeps the error of second order. They reach first to a thousandth of the cut, then further until less than 0.001 of
 * the product lies under the last and that lies below D10/20.
 *
 * @throws DomainError  classes, rates or shares out of range
 * Source: docs/science.md. Accuracy: closed form of an ideal wheel to 1e-12 where rate and fragment exponents agree, second order
 *         in the class width elsewhere (docs/validation.md).
 */
export function solveCircuit(circuit: Circuit): CircuitResult {
  const { feed, separation, offerPerS, classesPerOctave } = circuit;
  if (!(classesPerOctave >= 1 && classesPerOctave <= 128))
    throw new DomainError("classesPerOctave", "must lie in 1 … 128", classesPerOctave);
  if (!(offerPerS > 0 && Number.isFinite(offerPerS)))
    throw new DomainError("offerPerS", "must be above zero", offerPerS);
  const ratio = 2 ** (1 / classesPerOctave);
  const feedTop = itemAt(feed.edgesUm, -1);
  const topUm = topEdge(1.2 * feedTop, separation, ratio);
  let bottomUm = Math.min(separation.cutUm / 1000, itemAt(feed.edgesUm, 0) / ratio);
  const unseen = itemAt(feed.undersize, 0);
  for (;;) {
    const classes = Math.max(2, Math.ceil(Math.log(topUm / bottomUm) / Math.log(ratio) - 1e-9));
    if (classes > maxClasses)
      throw new DomainError(
        "classes",
        `must stay under ${maxClasses}; use fewer classes per octave`,
        classes,
      );
    const grid = fallingGrid(topUm, ratio, classes);
    const kernel = kernelOf(grid, circuit.rate, circuit.fragments);
    const solved = solveOn(kernel, feedByClass(feed, grid), separation, offerPerS);
    if (solved.stuckAtUm !== null) return solved;
    const last = itemAt(grid.edgesUm, classes);
    const d10 = sizeAt(solved.productCurve, 0.1);
    const isDeepEnough =
      itemAt(solved.product, classes) < remainderLimit + unseen && (d10 === null || last < d10 / underD10);
    if (isDeepEnough) return solved;
    bottomUm = d10 === null ? last / 16 : Math.min(last / 2, d10 / underD10 / ratio);
  }
}

/** The same on classes that stand already, with the feed on them: what a speed sweep calls. The wheel must not be ideal, or its cut an edge. */
export function solveOn(
  kernel: Kernel,
  feedShares: Float64Array,
  separation: Separation,
  offerPerS: number,
): CircuitResult {
  const { grid } = kernel;
  const solved = steadyState(kernel, feedShares, offerPerS, passingByClass(grid, separation));
  if ("stuckClass" in solved) {
    const upper = itemAt(grid.edgesUm, solved.stuckClass);
    const lower = grid.edgesUm[solved.stuckClass + 1] ?? upper;
    return { stuckAtUm: Math.sqrt(upper * lower) };
  }
  return { ...solved, stuckAtUm: null, kernel, feedShares, productCurve: curveByClass(solved.product, grid) };
}

/** The first edge at or above what is wanted; an ideal wheel's cut is an edge too. */
function topEdge(wantedUm: number, { kind, cutUm }: Separation, ratio: number): number {
  if (kind !== "ideal") return wantedUm;
  const steps = Math.max(1, Math.ceil(Math.log(wantedUm / cutUm) / Math.log(ratio)));
  return cutUm * ratio ** steps;
}
