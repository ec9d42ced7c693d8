/** The standard normal curve. */
interface Form {
  readonly undersize: (u: number) => number;
  readonly slope: (u: number) => number;
}

/**
 * Taylor polynomials of Φ of degree 6 about every 1/64 from −8.5 to 8.5: the seven numbers Φ⁽ᵏ⁾/k! of each place, one
 * place after another. φ⁽ᵏ⁺¹⁾ = −(z·φ⁽ᵏ⁾ + k·φ⁽ᵏ⁻¹⁾), Hermite's recurrence.
 */
export function normalTableOf({ undersize, slope }: Form): Float64Array {
  const table = new Float64Array(1089 * 7);
  for (let place = 0; place < 1089; place++) {
    const z = place / 64 - 8.5;
    let before = 0;
    let derivative = slope(z);
    let factorial = 1;
    table[7 * place] = undersize(z);
    for (let k = 1; k < 7; k++) {
      factorial *= k;
      table[7 * place + k] = derivative / factorial;
      const next = -(z * derivative + (k - 1) * before);
      before = derivative;
      derivative = next;
    }
  }
  return table;
}
