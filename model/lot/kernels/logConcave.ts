/** Concave in ln x: level and slope at the first column pair, then how far the slope falls at each corner. */
export interface Bent {
  readonly corners: readonly number[];
  readonly columns: readonly Float64Array[];
  readonly theta: readonly number[];
}

/**
 * The log-concave shares nearest to given ones: of all concave φ the one of greatest likelihood Σ p φ − Σ w exp φ, its
 * corners found one by one.
 *
 * @param at      middles of the classes in ln x, rising
 * @param widths  of the classes in ln x
 * @param shares  not negative, at least three of them above 0
 * @param start   the fit of like shares in the same classes, to go on from; null for none
 * @returns       shares of the same classes and the same sum, and the fit itself
 * Source: the active set algorithm of Dümbgen, Hüsler and Rufibach (2007, from memory).
 */
export function logConcaveShares(
  at: readonly number[],
  widths: readonly number[],
  shares: readonly number[],
  start: Bent | null,
): { readonly shares: readonly number[]; readonly bent: Bent } {
  const n = at.length;
  let total = 0;
  let width = 0;
  for (let i = 0; i < n; i++) total += shares[i];
  for (let i = 0; i < n; i++) width += widths[i];
  // About the middle of the classes, the same for all shares in them.
  const middle = (at[0] + at[n - 1]) / 2;
  const u = Float64Array.from(at, (v) => v - middle);
  let bent: Bent = start ?? {
    corners: [],
    columns: [new Float64Array(n).fill(1), u],
    theta: [Math.log(total / width), 0],
  };
  for (let round = 0; round < 2 * n; round++) {
    bent = climbed(bent, widths, shares, total);
    const masses = massesOf(bent, widths);
    // The corner whose bending would raise the likelihood most: double sums of what is missed, from the coarse end.
    let best = -1;
    let steepest = 1e-6 * total;
    let missed = 0;
    let slope = 0;
    for (let k = n - 2; k > 0; k--) {
      missed += shares[k + 1] - masses[k + 1];
      slope -= missed * (u[k + 1] - u[k]);
      if (slope > steepest && !bent.corners.includes(k)) {
        steepest = slope;
        best = k;
      }
    }
    if (best < 0) break;
    const corner = best;
    bent = {
      corners: [...bent.corners, corner],
      columns: [...bent.columns, u.map((v, i) => (i > corner ? u[corner] - v : 0))],
      theta: [...bent.theta, 0],
    };
  }
  return { shares: [...massesOf(bent, widths)], bent };
}

function massesOf({ columns, theta }: Bent, widths: readonly number[]): Float64Array {
  const masses = new Float64Array(widths.length);
  for (let j = 0; j < theta.length; j++) {
    const column = columns[j];
    for (let i = 0; i < masses.length; i++) masses[i] += theta[j] * column[i];
  }
  for (let i = 0; i < masses.length; i++) masses[i] = widths[i] * Math.exp(masses[i]);
  return masses;
}

/** Newton's method on the corners there are; one that would bend the wrong way is let go. */
function climbed(from: Bent, widths: readonly number[], shares: readonly number[], total: number): Bent {
  let bent = from;
  for (let step = 0; step < 40; step++) {
    const { columns, theta, corners } = bent;
    const masses = massesOf(bent, widths);
    const m = theta.length;
    const gradient = new Array<number>(m).fill(0);
    const curvature = theta.map((_, j) => new Array<number>(j + 1).fill(0));
    for (let j = 0; j < m; j++) {
      const own = columns[j];
      for (let i = 0; i < masses.length; i++) gradient[j] += own[i] * (shares[i] - masses[i]);
      for (let l = 0; l <= j; l++) {
        const other = columns[l];
        let sum = 0;
        for (let i = 0; i < masses.length; i++) sum += own[i] * other[i] * masses[i];
        curvature[j][l] = sum;
      }
    }
    const move = solved(curvature, gradient);
    let gain = 0;
    for (let j = 0; j < m; j++) gain += move[j] * gradient[j];
    if (!(gain > 1e-10 * total)) break;
    let most = 1;
    let stop = -1;
    for (let j = 2; j < m; j++)
      if (theta[j] + move[j] < 0 && -theta[j] / move[j] < most) {
        most = -theta[j] / move[j];
        stop = j;
      }
    const at = (reach: number): Bent => ({ ...bent, theta: theta.map((v, j) => v + reach * move[j]) });
    const before = likelihood(bent, masses, shares);
    let reach = most;
    while (reach > 1e-9 && !(likelihood(at(reach), massesOf(at(reach), widths), shares) >= before))
      reach /= 2;
    const next = at(reach);
    bent =
      stop >= 0 && reach === most
        ? {
            corners: corners.filter((_, j) => j !== stop - 2),
            columns: columns.filter((_, j) => j !== stop),
            theta: next.theta.filter((_, j) => j !== stop),
          }
        : next;
  }
  return bent;
}

function likelihood({ columns, theta }: Bent, masses: Float64Array, shares: readonly number[]): number {
  let sum = 0;
  for (let j = 0; j < theta.length; j++) {
    const column = columns[j];
    for (let i = 0; i < shares.length; i++) sum += theta[j] * column[i] * shares[i];
  }
  for (let i = 0; i < masses.length; i++) sum -= masses[i];
  return sum;
}

/** Solves A·x = b for a symmetric A of which the lower triangle is given; a direction that A does not know is left at 0. */
function solved(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const n = right.length;
  const lower: number[][] = [];
  const x = [...right];
  for (let i = 0; i < n; i++) {
    lower.push(new Array<number>(i + 1).fill(0));
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i][j];
      for (let k = 0; k < j; k++) sum -= lower[i][k] * lower[j][k];
      if (i === j) lower[i][j] = sum > 1e-12 * matrix[i][i] ? Math.sqrt(sum) : 0;
      else lower[i][j] = lower[j][j] > 0 ? sum / lower[j][j] : 0;
    }
  }
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i] -= lower[i][k] * x[k];
    x[i] = lower[i][i] > 0 ? x[i] / lower[i][i] : 0;
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] -= lower[k][i] * x[k];
    x[i] = lower[i][i] > 0 ? x[i] / lower[i][i] : 0;
  }
  return x;
}
