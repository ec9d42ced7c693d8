/** What the parts are held to: ln of each size, ln of where its share begins (null: each is all that is finer), and the share. */
export interface SharePoints {
  readonly lns: ArrayLike<number>;
  readonly lnFrom: ArrayLike<number> | null;
  readonly shares: ArrayLike<number>;
}

/** Where a search stands: location and ln σ of each part, then ln of each further weight over the first. */
export interface Found {
  readonly parameters: Float64Array;
  readonly sumOfSquares: number;
  /** Whether a full step would explain next to nothing more: a floor, no plateau on the way. */
  readonly isAtFloor: boolean;
}

/** Where a search may go, and where it ends. */
export interface SearchRange {
  readonly lowest: ArrayLike<number>;
  readonly highest: ArrayLike<number>;
  readonly mostSteps: number;
  /** The share of the residuals' length that a full step may still explain at the end. */
  readonly offset: number;
  /** A root mean square of misfits that no measured share would show. */
  readonly noMisfit: number;
}

/** A place of the search with what the points say there, in one flat room each that is used again. */
interface Place {
  readonly parameters: Float64Array;
  /** JᵀJ, its lower half by rows. */
  readonly squares: Float64Array;
  /** The same less Σ r·∂²F: half the curvature of the misfit, exact. */
  readonly exact: Float64Array;
  /** Jᵀr, r = measured less modelled. */
  readonly pulls: Float64Array;
  sumOfSquares: number;
}

/** The parts at a place, and room for what each has at one point. */
interface Parts {
  readonly table: Float64Array;
  readonly count: number;
  readonly perSigma: Float64Array;
  readonly weights: Float64Array;
  readonly us: Float64Array;
  readonly undersizes: Float64Array;
  /** Weight times the normal density at u. */
  readonly heights: Float64Array;
  readonly slopes: Float64Array;
  /** Of each part Σ r·height·uᵏ, k from 1 to 3. */
  readonly bends: Float64Array;
}

/** What a step is solved with, used again. */
interface Room {
  damping: number;
  readonly longest: Float64Array;
  readonly lower: Float64Array;
  readonly step: Float64Array;
  readonly isHeld: Uint8Array;
}

/**
 * Levenberg's and Marquardt's search for the parts of a mixture of log-normals, on flat sums: the same misfit as the general
 * engine's of `mixture.free`, some hundred times faster.
 *
 * @param table  Taylor polynomials of the standard normal curve, of `normalTableOf`
 * @returns where it stands after some steps, never higher than the start
 */
export function searchNormalParts(
  table: Float64Array,
  points: SharePoints,
  start: ArrayLike<number>,
  { lowest, highest, mostSteps, offset, noMisfit }: SearchRange,
): Found {
  const size = start.length;
  const parts = roomFor(table, (size + 1) / 3);
  let here = placeOf(size);
  let next = placeOf(size);
  for (let j = 0; j < size; j++) here.parameters[j] = Math.min(Math.max(start[j], lowest[j]), highest[j]);
  lookAround(here, points, parts);
  // The longest slope each parameter had on the way, after Moré (1978): where one dies away its parameter is held back.
  const room: Room = {
    damping: 1e-1,
    longest: here.squares.filter((_, at) => at % (size + 1) === 0),
    lower: new Float64Array(size * size),
    step: new Float64Array(size),
    isHeld: new Uint8Array(size),
  };
  const { step, isHeld, longest } = room;
  const enough = noMisfit * noMisfit * points.lns.length;
  let isNear = false;
  let explainedBefore = Number.POSITIVE_INFINITY;
  for (let turn = 0; turn < mostSteps && room.damping < 1e8 && here.sumOfSquares > enough; turn++) {
    for (let j = 0; j < size; j++) {
      const pull = here.pulls[j];
      isHeld[j] =
        (pull > 0 && here.parameters[j] >= highest[j]) || (pull < 0 && here.parameters[j] <= lowest[j])
          ? 1
          : 0;
    }
    // Near a floor the exact curvature where it is positive; elsewhere the part of it that always is, which strays less.
    const isExact = isNear && solveDamped(here.exact, here.pulls, room);
    if (!isExact) solveDamped(here.squares, here.pulls, room);
    let explained = 0;
    for (let j = 0; j < size; j++) explained += step[j] * here.pulls[j];
    // A hundredth of the misfit and less: near a floor, or on a plateau.
    isNear = explained <= 1e-2 * here.sumOfSquares;
    if (room.damping <= offset && explained <= offset * offset * here.sumOfSquares)
      return foundAt(here, true);
    for (let j = 0; j < size; j++) {
      const to = here.parameters[j] + (Number.isFinite(step[j]) ? step[j] : 0);
      next.parameters[j] = Math.min(Math.max(to, lowest[j]), highest[j]);
    }
    lookAround(next, points, parts);
    // Near the floor rounding hides the gain of a step, not the step.
    const isHidden = explained <= 1e-12 * here.sumOfSquares;
    if (next.sumOfSquares < here.sumOfSquares || (isHidden && explained < explainedBefore / 2)) {
      [here, next] = [next, here];
      for (let j = 0; j < size; j++) longest[j] = Math.max(longest[j], here.squares[j * size + j]);
      room.damping = Math.max(room.damping / (isExact ? 30 : 3), 1e-12);
      explainedBefore = explained;
    } else if (isHidden) {
      // Nothing shows any more; without damping a step may still be worth taking.
      if (room.damping <= 1e-12) return foundAt(here, true);
      room.damping = Math.max(room.damping / 1000, 1e-12);
      explainedBefore = Number.POSITIVE_INFINITY;
    } else room.damping *= 4;
  }
  return foundAt(here, here.sumOfSquares <= enough);
}

function foundAt({ parameters, sumOfSquares }: Place, isAtFloor: boolean): Found {
  return { parameters, sumOfSquares, isAtFloor };
}

function placeOf(size: number): Place {
  return {
    parameters: new Float64Array(size),
    squares: new Float64Array(size * size),
    exact: new Float64Array(size * size),
    pulls: new Float64Array(size),
    sumOfSquares: 0,
  };
}

function roomFor(table: Float64Array, count: number): Parts {
  return {
    table,
    count,
    perSigma: new Float64Array(count),
    weights: new Float64Array(count),
    us: new Float64Array(count),
    undersizes: new Float64Array(count),
    heights: new Float64Array(count),
    bends: new Float64Array(3 * count),
    slopes: new Float64Array(3 * count - 1),
  };
}

/**
 * (A + λ·D)·Δ = Jᵀr by Cholesky's triangle, D the longest squares that the diagonal of JᵀJ has had; parameters held at a bound stay.
 *
 * @returns whether A + λ·D is positive
 */
function solveDamped(
  matrix: Float64Array,
  pulls: Float64Array,
  { damping, longest, lower, step, isHeld }: Room,
): boolean {
  const size = pulls.length;
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let left = matrix[i * size + j];
      // What is held takes no step: its own resistance is without measure.
      if (i === j) left += isHeld[j] === 1 ? 1e30 : damping * longest[j] + 1e-30;
      for (let k = 0; k < j; k++) left -= lower[i * size + k] * lower[j * size + k];
      if (i !== j) lower[i * size + j] = left / lower[j * size + j];
      else if (left > 0) lower[i * size + j] = Math.sqrt(left);
      else return false;
    }
  }
  for (let i = 0; i < size; i++) {
    let left = pulls[i];
    for (let k = 0; k < i; k++) left -= lower[i * size + k] * step[k];
    step[i] = left / lower[i * size + i];
  }
  for (let i = size - 1; i >= 0; i--) {
    let left = step[i];
    for (let k = i + 1; k < size; k++) left -= lower[k * size + i] * step[k];
    step[i] = left / lower[i * size + i];
  }
  return true;
}

/** The misfit at a place with its slopes and curvature, written into it. */
function lookAround(place: Place, { lns, lnFrom, shares }: SharePoints, parts: Parts): void {
  const { parameters, squares, pulls } = place;
  const { count, perSigma, weights, slopes, heights, us, bends } = parts;
  const size = parameters.length;
  let whole = 1;
  for (let j = 0; j < count; j++) {
    perSigma[j] = Math.exp(-parameters[2 * j + 1]);
    weights[j] = j === 0 ? 1 : Math.exp(parameters[2 * count + j - 1]);
    if (j > 0) whole += weights[j];
  }
  for (let j = 0; j < count; j++) weights[j] /= whole;
  squares.fill(0);
  pulls.fill(0);
  bends.fill(0);
  let sumOfSquares = 0;
  for (let i = 0; i < lns.length; i++) {
    slopes.fill(0);
    let residual = shares[i];
    if (lnFrom !== null) residual += added(parts, parameters, lnFrom[i], -1);
    residual -= added(parts, parameters, lns[i], 1);
    sumOfSquares += residual * residual;
    for (let j = 0; j < size; j++) {
      const slope = slopes[j];
      if (slope === 0) continue;
      pulls[j] += slope * residual;
      for (let k = 0, at = j * size; k <= j; k++, at++) squares[at] += slope * slopes[k];
    }
    for (let j = 0; j < count; j++) {
      const u = us[j];
      const bend = residual * heights[j] * u;
      bends[3 * j] += bend;
      bends[3 * j + 1] += bend * u;
      bends[3 * j + 2] += bend * u * u;
    }
  }
  place.sumOfSquares = sumOfSquares;
  place.exact.set(squares);
  // The bends are of the share finer, not of differences of two.
  if (lnFrom === null) takeBends(place, parts);
}

/** JᵀJ becomes JᵀJ − Σ r·∂²F: by location and ln σ of each part, and by the weights, whose bends follow from the pulls. */
function takeBends({ exact, pulls }: Place, { count, perSigma, weights, bends }: Parts): void {
  const size = pulls.length;
  for (let j = 0; j < count; j++) {
    const first = bends[3 * j];
    exact[2 * j * size + 2 * j] += first * perSigma[j] ** 2;
    // Σ r·height is the pull of the location, in units of −σ.
    exact[(2 * j + 1) * size + 2 * j] += pulls[2 * j] + bends[3 * j + 1] * perSigma[j];
    exact[(2 * j + 1) * size + 2 * j + 1] += bends[3 * j + 2] - first;
  }
  for (let k = 1; k < count; k++) {
    const row = 2 * count + k - 1;
    for (let c = 0; c < 2 * count; c++)
      exact[row * size + c] -= pulls[c] * ((c >> 1 === k ? 1 : 0) - weights[k]);
    for (let l = 1; l <= k; l++) {
      const other = 2 * count + l - 1;
      exact[row * size + other] -= ((k === l ? 1 : 0) - weights[l]) * pulls[row] - weights[k] * pulls[other];
    }
  }
}

/** The share finer than a size; its slopes by each parameter, times a sign, are added to those given. */
function added(
  { table, count, perSigma, weights, us, undersizes, heights, slopes }: Parts,
  parameters: Float64Array,
  ln: number,
  sign: number,
): number {
  let whole = 0;
  for (let j = 0; j < count; j++) {
    const u = (ln - parameters[2 * j]) * perSigma[j];
    // Beyond the table the curve is level, to the last bit of a share.
    if (!(u > -8.5 && u < 8.5)) {
      us[j] = 0;
      heights[j] = 0;
      undersizes[j] = u > 0 ? 1 : 0;
      whole += weights[j] * undersizes[j];
      continue;
    }
    const place = (64 * u + 544.5) | 0;
    const d = u - place * 0.015625 + 8.5;
    const at = 7 * place;
    const c1 = table[at + 1];
    const c2 = table[at + 2];
    const c3 = table[at + 3];
    const c4 = table[at + 4];
    const c5 = table[at + 5];
    const c6 = table[at + 6];
    const undersize = table[at] + d * (c1 + d * (c2 + d * (c3 + d * (c4 + d * (c5 + d * c6)))));
    const slope = c1 + d * (2 * c2 + d * (3 * c3 + d * (4 * c4 + d * (5 * c5 + 6 * d * c6))));
    undersizes[j] = undersize;
    whole += weights[j] * undersize;
    const pull = sign * weights[j] * slope;
    us[j] = u;
    heights[j] = pull;
    slopes[2 * j] -= pull * perSigma[j];
    slopes[2 * j + 1] -= pull * u;
  }
  for (let j = 1; j < count; j++) slopes[2 * count + j - 1] += sign * weights[j] * (undersizes[j] - whole);
  return whole;
}
