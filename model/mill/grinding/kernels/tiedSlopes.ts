/** Falling classes whose fragments are one power of z, and the wheel that what they hold is offered to. */
interface Circuit {
  readonly feed: Float64Array;
  /** What each class loses, 1/s; the same rate sends its fragments down. */
  readonly rate: Float64Array;
  /** The derivative of ln rate by the ln of the exponent, the same in each class. */
  readonly lnRateByLnExponent: number;
  readonly decay: number;
  readonly decayByLnExponent: number;
  readonly offer: number;
  /** What passes of each class, and its derivatives by logit sharpness and ln cut. */
  readonly passing: Float64Array;
  readonly passingBy: readonly [Float64Array, Float64Array];
  readonly rateExponent: number;
}

/** Of a log-logistic wheel: ln of the top edge over the cut, the width of a class, and the steepness with its derivative by logit sharpness. */
interface Wheel {
  readonly topLn: number;
  readonly widthLn: number;
  readonly classes: number;
  readonly steepness: number;
  readonly steepnessByLogit: number;
}

/** Derivatives of the mean passing share of each class by logit sharpness and by ln cut; of the remainder, which all passes, none. */
export function passingSlopes(
  { topLn, widthLn, classes, steepness, steepnessByLogit }: Wheel,
  places: readonly number[],
  weights: readonly number[],
): [Float64Array, Float64Array] {
  const byLogit = new Float64Array(classes + 1);
  const byLnCut = new Float64Array(classes + 1);
  for (let i = 0; i < classes; i++) {
    const lower = topLn - (i + 1) * widthLn;
    for (let g = 0; g < places.length; g++) {
      const u = lower + places[g] * widthLn;
      const power = Math.exp(-Math.abs(steepness * u));
      // p(1 − p) of p = 1/(1 + e^{su}), alike on both sides of the cut.
      const fall = (weights[g] * power) / ((1 + power) * (1 + power));
      byLogit[i] -= fall * u * steepnessByLogit;
      byLnCut[i] += fall * steepness;
    }
  }
  return [byLogit, byLnCut];
}

/**
 * Derivatives of the product of each class by logit sharpness, ln fragment exponent, ln load at the cut and ln cut: the
 * forward balance (balance.ts) differentiated term by term.
 */
export function productSlopes(c: Circuit): readonly Float64Array[] {
  const n = c.rate.length;
  const count = 4;
  const slopes = Array.from({ length: count }, () => new Float64Array(n + 1));
  // The offer is cutᵅ/load, which only load and cut move.
  const offerBy = [0, 0, -c.offer, c.rateExponent * c.offer];
  const sentBy = new Float64Array(count);
  let sent = 0;
  for (let i = 0; i <= n; i++) {
    const decay = i < n ? c.decay : 0;
    const passing = c.passing[i];
    const inflow = c.feed[i] + (1 - decay) * sent;
    const rate = i < n ? c.rate[i] : 0;
    const out = rate + c.offer * passing;
    const held = inflow === 0 ? 0 : inflow / out;
    for (let k = 0; k < count; k++) {
      const decayBy = k === 1 && i < n ? c.decayByLnExponent : 0;
      const rateBy = k === 1 ? rate * c.lnRateByLnExponent : 0;
      const passingBy = k === 0 ? c.passingBy[0][i] : k === 3 ? c.passingBy[1][i] : 0;
      const leavingBy = offerBy[k] * passing + c.offer * passingBy;
      const inflowBy = (1 - decay) * sentBy[k] - decayBy * sent;
      const heldBy = inflow === 0 ? 0 : (inflowBy - held * (rateBy + leavingBy)) / out;
      slopes[k][i] = leavingBy * held + c.offer * passing * heldBy;
      sentBy[k] = decayBy * sent + decay * sentBy[k] + rateBy * held + rate * heldBy;
    }
    sent = decay * sent + rate * held;
  }
  return slopes;
}

/** Σ of slopes from the finest class up to a size, straight in ln size inside a class: the slope of the undersize there. */
export function undersizeSlope(slopes: Float64Array, lnTop: number, lnRatio: number, lnSize: number): number {
  const n = slopes.length - 1;
  // How many classes lie above the size, with the part of its own.
  const above = Math.min(Math.max((lnTop - lnSize) / lnRatio, 0), n);
  let sum = 0;
  const whole = Math.floor(above);
  for (let i = 0; i < whole; i++) sum -= slopes[i];
  return whole < n ? sum - (above - whole) * slopes[whole] : sum;
}
