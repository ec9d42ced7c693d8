import { gaussNodes, gaussWeights } from "#model/numbers/gauss.ts";
import { asPowers, type BreakageRate, breakingPerS, type Fragments, fragmentsBelow } from "./breakage.ts";

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
  const n = grid.edgesUm.length - 1;
  const breaking = breakingPerS(rate);
  const below = fragmentsBelow(fragments);
  const points = gaussNodes.length;
  // S at each class's places, weighted; B at each place over every number of classes down: the grid is geometric.
  const rates = new Float64Array(n * points);
  const shares = new Float64Array((n + 1) * points);
  for (const [g, place] of gaussNodes.entries()) {
    const up = grid.ratio ** place;
    for (let j = 0; j < n; j++)
      rates[j * points + g] = (gaussWeights[g] ?? 0) * breaking((grid.edgesUm[j + 1] ?? 0) * up);
    for (let down = 0; down <= n; down++) shares[down * points + g] = below(grid.ratio ** -down / up);
  }
  /** Mean rate at which class j sends mass below the lower edge of the class `down` further on. */
  const sent = (j: number, down: number) => {
    let sum = 0;
    for (let g = 0; g < points; g++) sum += (rates[j * points + g] ?? 0) * (shares[down * points + g] ?? 0);
    return sum;
  };
  const losing = Float64Array.from({ length: n }, (_, j) => sent(j, 0));
  const landing = Array.from({ length: n + 1 }, (_, i) => new Float64Array(Math.min(i, n)));
  for (let j = 0; j < n; j++) {
    let above = losing[j] ?? 0;
    for (let i = j + 1; i < n; i++) {
      const next = sent(j, i - j);
      const row = landing[i];
      if (row !== undefined) row[j] = above - next;
      above = next;
    }
    const last = landing[n];
    if (last !== undefined) last[j] = above;
  }
  const powers = asPowers(fragments)?.map(({ share, exponent }) => ({
    rate: Float64Array.from({ length: n }, (_, j) => {
      let sum = 0;
      for (const [g, place] of gaussNodes.entries())
        sum += (rates[j * points + g] ?? 0) * grid.ratio ** (-exponent * place);
      return share * sum;
    }),
    decay: grid.ratio ** -exponent,
  }));
  return { grid, losing, landing, ...(powers === undefined ? {} : { powers }) };
}
