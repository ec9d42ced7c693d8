/** Sums over the points: misfit, its gradient, and the two parts of its curvature (tt, t1, 11). */
export interface Sums {
  readonly error: number;
  readonly gradient: readonly [number, number];
  readonly squared: readonly [number, number, number];
  readonly exact: readonly [number, number, number];
}

/** F with F′ and F″, and the points Q at t. */
interface Form {
  readonly undersize: (u: number) => number;
  readonly slope: (u: number) => number;
  readonly curvature: (u: number) => number;
}

export function sumsAt(
  form: Form,
  { ts, shares }: { readonly ts: Float64Array; readonly shares: Float64Array },
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
