import { passingByLn, passingOfFinest, type Separation } from "#model/mill/separation/separation.ts";
import { gaussNodes, gaussWeights } from "#model/numbers/gauss.ts";
import type { FallingGrid, Kernel } from "./kernel.ts";

/** The steady state of a grinding zone with a wheel, for unit feed; classes coarsest first, the remainder last. */
export interface Steady {
  /** Powder held in each class per unit feed, s. */
  readonly holdUpS: Float64Array;
  /** Product in each class; sums to 1. */
  readonly product: Float64Array;
  readonly meanResidenceS: number;
  /** What the wheel throws back over the fresh feed. */
  readonly recycle: number;
}

/** A class that receives powder and can neither break nor leave. */
export interface Stuck {
  readonly stuckClass: number;
}

/** Share of each class that passes the wheel: the mean over ln x in the class; the remainder passes as the finest does. */
export function passingByClass(grid: FallingGrid, separation: Separation): Float64Array {
  const n = grid.edgesUm.length - 1;
  const pass = passingByLn(separation);
  const shares = new Float64Array(n + 1);
  const width = Math.log(grid.ratio);
  const places = gaussNodes.map((place) => place * width);
  const weights = gaussWeights;
  const top = Math.log((grid.edgesUm[0] ?? 1) / separation.cutUm);
  for (let i = 0; i < n; i++) {
    const lower = top - (i + 1) * width;
    let sum = 0;
    for (let g = 0; g < places.length; g++) sum += (weights[g] ?? 0) * pass(lower + (places[g] ?? 0));
    shares[i] = sum;
  }
  shares[n] = passingOfFinest(separation);
  return shares;
}

/**
 * Steady balance by one forward substitution from the coarsest class down:
 * held_i = (feed_i + Σ landing_ij held_j) / (losing_i + leaving_i). Where fragments are powers of z the sum is carried along.
 *
 * @param feed          share of the feed in each class, the remainder last; sums to 1
 * @param offerPerS     how often the wheel is offered what is held, 1/s
 * @param passingShares of each class, from `passingByClass`
 * Source: docs/science.md. Accuracy: mass balance 1e-14 (tests/model/mill/grinding/circuit.test.ts).
 */
export function steadyState(
  kernel: Kernel,
  feed: Float64Array,
  offerPerS: number,
  passingShares: Float64Array,
): Steady | Stuck {
  const n = kernel.losing.length;
  const holdUpS = new Float64Array(n + 1);
  const product = new Float64Array(n + 1);
  let meanResidenceS = 0;
  const { landing, losing, powers } = kernel;
  /** Of each power: what coarser classes send below the upper edge of this one, 1/s per unit feed. */
  const sent = new Float64Array(powers?.length ?? 0);
  for (let i = 0; i <= n; i++) {
    let inflow = feed[i] ?? 0;
    if (powers !== undefined) {
      for (let k = 0; k < powers.length; k++) {
        const decay = i < n ? (powers[k]?.decay ?? 0) : 0;
        inflow += (1 - decay) * (sent[k] ?? 0);
        sent[k] = decay * (sent[k] ?? 0);
      }
    } else {
      const row = landing[i];
      for (let j = 0; j < (row?.length ?? 0); j++) inflow += (row?.[j] ?? 0) * (holdUpS[j] ?? 0);
    }
    if (inflow === 0) continue;
    const leaving = offerPerS * (passingShares[i] ?? 0);
    const held = inflow / ((losing[i] ?? 0) + leaving);
    if (!Number.isFinite(held)) return { stuckClass: i };
    holdUpS[i] = held;
    product[i] = leaving * held;
    meanResidenceS += held;
    if (powers !== undefined)
      for (let k = 0; k < powers.length; k++) sent[k] = (sent[k] ?? 0) + (powers[k]?.rate[i] ?? 0) * held;
  }
  return { holdUpS, product, meanResidenceS, recycle: offerPerS * meanResidenceS - 1 };
}
