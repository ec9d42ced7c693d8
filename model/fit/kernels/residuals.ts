/** Measured less modelled at each point. */
export function residualsOf(
  value: (x: number) => number,
  xs: ArrayLike<number>,
  ys: ArrayLike<number>,
): Float64Array {
  const residuals = new Float64Array(xs.length);
  for (let i = 0; i < xs.length; i++) residuals[i] = ys[i] - value(xs[i]);
  return residuals;
}

/** The slopes by each parameter as columns of unit length, beside the lengths they had; a slope without an end counts as 0. */
export function unitColumns(
  slopes: (x: number) => readonly number[],
  xs: ArrayLike<number>,
  count: number,
): { columns: Float64Array[]; lengths: Float64Array } {
  const columns = Array.from({ length: count }, () => new Float64Array(xs.length));
  for (let i = 0; i < xs.length; i++) {
    const row = slopes(xs[i]);
    for (let j = 0; j < count; j++) columns[j][i] = Number.isFinite(row[j]) ? row[j] : 0;
  }
  const lengths = new Float64Array(count);
  for (let j = 0; j < count; j++) {
    let square = 0;
    for (const v of columns[j]) square += v * v;
    lengths[j] = Math.sqrt(square) || 1;
    for (let i = 0; i < xs.length; i++) columns[j][i] /= lengths[j];
  }
  return { columns, lengths };
}

/** Each parameter brought between its bounds. */
export function clamped(
  parameters: ArrayLike<number>,
  lowest: ArrayLike<number>,
  highest: ArrayLike<number>,
): number[] {
  return Array.from(parameters, (v, j) => Math.min(Math.max(v, lowest[j]), highest[j]));
}

/** Those parameters that a step against the slope of the misfit would move: the others are held at a bound. */
export function freeOf(
  parameters: ArrayLike<number>,
  pulls: ArrayLike<number>,
  lowest: ArrayLike<number>,
  highest: ArrayLike<number>,
): number[] {
  const free: number[] = [];
  for (let j = 0; j < parameters.length; j++) {
    const isHeld =
      (pulls[j] > 0 && parameters[j] >= highest[j]) || (pulls[j] < 0 && parameters[j] <= lowest[j]);
    if (!isHeld) free.push(j);
  }
  return free;
}

/** The members at some places. */
export function chosen<T>(list: ArrayLike<T>, places: readonly number[]): T[] {
  return places.map((j) => list[j]);
}

/** The parameters after a step of those at some places, told in units of 1/length. */
export function movedBy(
  parameters: readonly number[],
  places: readonly number[],
  step: Float64Array,
  lengths: Float64Array,
): number[] {
  const next = [...parameters];
  for (let k = 0; k < places.length; k++) next[places[k]] += step[k] / lengths[places[k]];
  return next;
}

/** (JᵀJ)⁻¹ in the parameters' own units, from that of columns of unit length, times a variance. */
export function inOwnUnits(
  inverse: readonly (readonly number[])[],
  lengths: Float64Array,
  variance: number,
): number[][] {
  return inverse.map((row, i) => row.map((v, j) => ((v / lengths[i]) * variance) / lengths[j]));
}

/** The longer of two at each place. */
export function longer(a: Float64Array, b: Float64Array): Float64Array {
  return a.map((v, j) => Math.max(v, b[j]));
}

/** ln of each. */
export function logarithms(values: readonly number[]): number[] {
  const lns = [];
  for (let i = 0; i < values.length; i++) lns.push(Math.log(values[i]));
  return lns;
}

/** Each share less what a curve has finer than its size, or between that and where the share begins. */
export function misfits(
  undersize: (lnUm: number) => number,
  shares: readonly number[],
  lnSizes: readonly number[],
  lnFrom: readonly number[] | null,
): number[] {
  const gaps = [];
  for (let i = 0; i < shares.length; i++) {
    const fitted = undersize(lnSizes[i]) - (lnFrom === null ? 0 : undersize(lnFrom[i]));
    gaps.push(shares[i] - fitted);
  }
  return gaps;
}

/** The largest distance from nothing. */
export function largest(values: readonly number[]): number {
  let most = 0;
  for (let i = 0; i < values.length; i++) most = Math.max(most, Math.abs(values[i]));
  return most;
}
