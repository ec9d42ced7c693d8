import { gaussNodes, gaussWeights } from "#model/numbers/gauss.ts";
import { asPowers, type BreakageRate, breakingPerS, type Fragments, fragmentsBelow } from "./breakage.ts";
import {
  landingRates,
  losingRates,
  powerRates,
  ratesInClasses,
  sharesByClassesDown,
} from "./kernels/rates.ts";

/** Where a mean over a class is taken, in parts of its ln size. */
export const gaussPlaces = { places: gaussNodes, weights: gaussWeights };

/** Sizes in falling order: n classes of one ratio, and under the last edge a remainder that is followed no further. */
export interface FallingGrid {
  /** n + 1 edges, falling. */
  readonly edgesUm: Float64Array;
  /** Upper over lower edge, above 1. */
  readonly ratio: number;
}

/** Classes of one ratio from a top edge down. */
export function fallingGrid(topUm: number, ratio: number, classes: number): FallingGrid {
  const edgesUm = Float64Array.from({ length: classes + 1 }, (_, i) => topUm * ratio ** -i);
  return { edgesUm, ratio };
}

/** How fast each class breaks away and where its pieces land. Built once for a grid; a speed sweep uses it again. */
export interface Kernel {
  readonly grid: FallingGrid;
  /** Rate at which a class loses mass to all finer ones, 1/s. The remainder does not break. */
  readonly losing: Float64Array;
  /** landing[i][j]: rate at which class j feeds class i > j, 1/s; the last row is the remainder. */
  readonly landing: readonly Float64Array[];
  /**
   * The same where the fragments are a sum of powers of z: a class sends rate·decay^d below the edge d classes under its
   * own. What has been sent so far is then carried from class to class, and a balance needs no sum over all coarser ones.
   */
  readonly powers?: readonly PowerTerm[];
}

interface PowerTerm {
  /** Of each class, 1/s. */
  readonly rate: Float64Array;
  readonly decay: number;
}

/**
 * Class-averaged rates: the mean over ln y in class j of S(y)·B(e/y) at every lower edge e; a class receives the difference
 * of two of them, so that what one class loses is exactly what the finer ones receive.
 *
 * Source: docs/science.md (population balance of grinding; derived there). Accuracy: exact in mass; five-point Gauss in ln y.
 */
export function kernelOf(grid: FallingGrid, rate: BreakageRate, fragments: Fragments): Kernel {
  const rates = ratesInClasses(grid, gaussPlaces, breakingPerS(rate));
  const shares = sharesByClassesDown(grid, gaussPlaces, fragmentsBelow(fragments));
  const losing = losingRates(rates, shares, gaussNodes.length);
  const powers = asPowers(fragments)?.map((power) => ({
    rate: powerRates(rates, grid.ratio, gaussNodes, power),
    decay: grid.ratio ** -power.exponent,
  }));
  let landing: readonly Float64Array[] | null = null;
  return {
    grid,
    losing,
    // Where fragments are powers a balance never asks for it, which would take longest of all.
    get landing() {
      landing ??= landingRates(rates, shares, gaussNodes.length);
      return landing;
    },
    ...(powers === undefined ? {} : { powers }),
  };
}
