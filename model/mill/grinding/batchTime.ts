import { type Curve, sizeAt } from "#distributions/curve.ts";
import { itemAt } from "#distributions/lists.ts";
import { advance, type Propagator, propagatorOf, squared } from "./batch.ts";
import { curveByClass, feedByClass } from "./feed.ts";
import { fallingGrid, type Kernel, kernelOf } from "./kernel.ts";

/** A batch that grinds: its start, and how its pieces break; time enters only as rate × time. */
export interface Batch {
  readonly kernel: Kernel;
  readonly start: Float64Array;
}

const classesPerOctave = 8;

/** @param finestUm  the finest median that will be asked for */
export function batchOf(
  start: Curve,
  shape: { readonly rateExponent: number; readonly fragmentExponent: number },
  finestUm: number,
): Batch {
  const topUm = 1.2 * itemAt(start.edgesUm, -1);
  const octaves = Math.log2(topUm / finestUm) + 6;
  const grid = fallingGrid(topUm, 2 ** (1 / classesPerOctave), Math.ceil(octaves * classesPerOctave));
  const kernel = kernelOf(
    grid,
    { at1UmPerS: 1, exponent: shape.rateExponent, grindingLimitUm: 0 },
    { kind: "power", exponent: shape.fragmentExponent },
  );
  return { kernel, start: feedByClass(start, grid) };
}

/** The undersize curve after a dose of grinding: rate at 1 µm times time. */
export function curveAfter({ kernel, start }: Batch, dose: number): Curve {
  return curveByClass(advance(propagatorOf(kernel, dose), start), kernel.grid);
}

/** Doublings of the smallest dose that are tried, and so the finest part of a dose: 2⁻³⁰ of the largest. */
const doublings = 30;
const smallestDose = 1e-7;

/** The median where more than half lies under the last class: finer than any that is asked for. */
const underClasses = 0;

/**
 * The dose after which the median is a wanted size: doses that double are laid together from the largest down, as long as
 * the median stays above.
 *
 * @returns null where the start is finer already, or no dose tried is enough
 * Accuracy: 1e-7 in rate × time.
 */
export function doseForD50({ kernel, start }: Batch, d50Um: number): number | null {
  const d50Of = (shares: Float64Array) => sizeAt(curveByClass(shares, kernel.grid), 0.5) ?? underClasses;
  if (!(d50Of(start) > d50Um)) return null;
  const steps: Propagator[] = [propagatorOf(kernel, smallestDose)];
  for (let k = 1; k <= doublings; k++) {
    const last = steps.at(-1);
    if (last === undefined) break;
    if (d50Of(advance(last, start)) < d50Um) break;
    steps.push(squared(last));
  }
  let dose = 0;
  let shares = start;
  const largest = steps.at(-1);
  if (largest === undefined || d50Of(advance(largest, start)) > d50Um) return null;
  for (let k = steps.length - 1; k >= 0; k--) {
    const step = steps[k];
    if (step === undefined) continue;
    const next = advance(step, shares);
    if (d50Of(next) < d50Um) continue;
    shares = next;
    dose += smallestDose * 2 ** k;
  }
  return dose;
}
