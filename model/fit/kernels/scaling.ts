/** Some parameters in units in which their slopes are of length 1 and the misfit is 1. */
export function scaled(
  parameters: ArrayLike<number>,
  free: readonly number[],
  lengths: Float64Array,
  misfit: number,
): number[] {
  return free.map((j) => (parameters[j] * lengths[j]) / misfit);
}

/** All parameters in their own units, those that are not free as they stand. */
export function unscaled(
  standing: ArrayLike<number>,
  own: { readonly free: readonly number[]; readonly lengths: Float64Array; readonly misfit: number },
  values: ArrayLike<number>,
): number[] {
  const parameters = Array.from(standing);
  for (let k = 0; k < own.free.length; k++) {
    const j = own.free[k];
    parameters[j] = (values[k] * own.misfit) / own.lengths[j];
  }
  return parameters;
}

/** Slopes by the parameters so scaled; one without an end counts as 0. */
export function scaledSlopes(
  slopes: ArrayLike<number>,
  free: readonly number[],
  lengths: Float64Array,
): number[] {
  return free.map((j) => (Number.isFinite(slopes[j]) ? slopes[j] / lengths[j] : 0));
}
