/**
 * The standard normal value that a share lies below, from a table: along the eighth root of the nearer tail's share it is so
 * smooth that six neighbours give it. Within 1e-10 for shares from 1e-12 to 1 − 1e-12 (tests/model/numbers/deviates.test.ts).
 *
 * @param deviate  the exact one, asked once for each place of the table
 */
export function deviatesFrom(deviate: (share: number) => number): (share: number) => number {
  // Steps of the table in the eighth root of a share, and its first place.
  const perUnit = 2048;
  const first = 40;
  const last = Math.ceil(0.5 ** (1 / 8) * perUnit) + 4;
  const table = new Float64Array(last - first + 1);
  for (let i = 0; i < table.length; i++) table[i] = deviate(((i + first) / perUnit) ** 8);
  return (share) => {
    const tail = share > 0.5 ? 1 - share : share;
    const place = Math.sqrt(Math.sqrt(Math.sqrt(tail))) * perUnit - first;
    const i = place | 0;
    const z = i < 2 ? deviate(tail) : sixAbout(table, i, place - i);
    return share > 0.5 ? -z : z;
  };
}

/** Lagrange's polynomial through the places i − 2 … i + 3, at i + t. */
function sixAbout(table: Float64Array, i: number, t: number): number {
  const [a, b, c, d, e, f] = [t + 2, t + 1, t, t - 1, t - 2, t - 3];
  const ab = a * b;
  const cd = c * d;
  const ef = e * f;
  return (
    (ab * ef * (c * table[i + 1] - d * table[i])) / 12 +
    (cd * f * (a * e * table[i - 1] - ab * table[i + 2])) / 24 +
    (cd * b * e * (a * table[i + 3] - f * table[i - 2])) / 120
  );
}
