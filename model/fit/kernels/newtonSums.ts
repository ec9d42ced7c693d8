/** Sums over the points: misfit, its gradient, and the two parts of its curvature (tt, t1, 11). */
export interface Sums {
  readonly error: number;
  readonly gradient: readonly [number, number];
  readonly squared: readonly [number, number, number];
  readonly exact: readonly [number, number, number];
}

/** The points Q at t. */
export interface CentredPoints {
  readonly ts: readonly number[];
  readonly shares: readonly number[];
}

/** F with F′ and F″. */
interface Form {
  readonly undersize: (u: number) => number;
  readonly slope: (u: number) => number;
  readonly curvature: (u: number) => number;
}

/** The sums of any form: the plain formula, to which the quick ones below are held. */
export function sumsAt(form: Form, { ts, shares }: CentredPoints, slope: number, level: number): Sums {
  let error = 0;
  let g0 = 0;
  let g1 = 0;
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let e0 = 0;
  let e1 = 0;
  let e2 = 0;
  for (let i = 0; i < ts.length; i++) {
    const t = ts[i];
    const u = slope * t + level;
    const residual = form.undersize(u) - shares[i];
    const f = form.slope(u);
    error += residual * residual;
    g0 += residual * f * t;
    g1 += residual * f;
    const square = f * f;
    const exact = square + residual * form.curvature(u);
    s0 += square * t * t;
    s1 += square * t;
    s2 += square;
    e0 += exact * t * t;
    e1 += exact * t;
    e2 += exact;
  }
  return { error, gradient: [g0, g1], squared: [s0, s1, s2], exact: [e0, e1, e2] };
}

/** Of the normal curve, from the table of its polynomials: Φ within 4e-16, φ within 2e-14. F″ = −u·φ. */
export function sumsOfNormal(
  table: Float64Array,
  { ts, shares }: CentredPoints,
  slope: number,
  level: number,
): Sums {
  let error = 0;
  let g0 = 0;
  let g1 = 0;
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let e0 = 0;
  let e1 = 0;
  let e2 = 0;
  for (let i = 0; i < ts.length; i++) {
    const t = ts[i];
    const u = slope * t + level;
    if (!(u > -8.5 && u < 8.5)) {
      // NaN stays NaN, so that a step into nowhere is no gain.
      const residual = (u <= -8.5 ? 0 : u >= 8.5 ? 1 : u) - shares[i];
      error += residual * residual;
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
    const rise = d * (c1 + d * (c2 + d * (c3 + d * (c4 + d * (c5 + d * c6)))));
    const residual = table[at] + rise - shares[i];
    const f = c1 + d * (2 * c2 + d * (3 * c3 + d * (4 * c4 + d * (5 * c5 + 6 * d * c6))));
    const pull = residual * f;
    const square = f * f;
    const exact = square - pull * u;
    error += residual * residual;
    g0 += pull * t;
    g1 += pull;
    s0 += square * t * t;
    s1 += square * t;
    s2 += square;
    e0 += exact * t * t;
    e1 += exact * t;
    e2 += exact;
  }
  return { error, gradient: [g0, g1], squared: [s0, s1, s2], exact: [e0, e1, e2] };
}

/** Of Rosin's and Rammler's curve F = 1 − exp(−w), w = eᵘ: F′ = w·exp(−w), F″ = F′·(1 − w), two exponentials a point. */
export function sumsOfRosinRammler({ ts, shares }: CentredPoints, slope: number, level: number): Sums {
  let error = 0;
  let g0 = 0;
  let g1 = 0;
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let e0 = 0;
  let e1 = 0;
  let e2 = 0;
  for (let i = 0; i < ts.length; i++) {
    const t = ts[i];
    const u = slope * t + level;
    if (!(u > -40 && u < 4)) {
      const residual = (u <= -40 ? 0 : u >= 4 ? 1 : u) - shares[i];
      error += residual * residual;
      continue;
    }
    const w = Math.exp(u);
    const coarser = Math.exp(-w);
    const residual = 1 - coarser - shares[i];
    const f = w * coarser;
    const pull = residual * f;
    const square = f * f;
    const exact = square + pull * (1 - w);
    error += residual * residual;
    g0 += pull * t;
    g1 += pull;
    s0 += square * t * t;
    s1 += square * t;
    s2 += square;
    e0 += exact * t * t;
    e1 += exact * t;
    e2 += exact;
  }
  return { error, gradient: [g0, g1], squared: [s0, s1, s2], exact: [e0, e1, e2] };
}
