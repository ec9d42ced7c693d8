/** Places inside a class, as parts of it in ln size from its lower edge, and what each weighs. */
interface Places {
  readonly places: readonly number[];
  readonly weights: readonly number[];
}

/** Falling edges of one ratio. */
interface Falling {
  readonly edgesUm: Float64Array;
  readonly ratio: number;
}

/** A rate at every place of every class, weighted: class by class. */
export function ratesInClasses(
  { edgesUm, ratio }: Falling,
  { places, weights }: Places,
  breakingPerS: (sizeUm: number) => number,
): Float64Array {
  const count = places.length;
  const n = edgesUm.length - 1;
  const rates = new Float64Array(n * count);
  for (let g = 0; g < count; g++) {
    const up = ratio ** places[g];
    for (let j = 0; j < n; j++) rates[j * count + g] = weights[g] * breakingPerS(edgesUm[j + 1] * up);
  }
  return rates;
}

/** The share of fragments that lands so many classes under the lower edge of a piece's own, for each place in that class. */
export function sharesByClassesDown(
  { edgesUm, ratio }: Falling,
  { places }: Places,
  below: (partOfSize: number) => number,
): Float64Array {
  const count = places.length;
  const n = edgesUm.length - 1;
  const shares = new Float64Array((n + 1) * count);
  for (let g = 0; g < count; g++) {
    const up = ratio ** places[g];
    for (let down = 0; down <= n; down++) shares[down * count + g] = below(ratio ** -down / up);
  }
  return shares;
}

/** What each class loses, and landing[i][j] of it in each finer one: a class receives the difference of what passes its two edges. */
export function exchangeRates(
  rates: Float64Array,
  shares: Float64Array,
  places: number,
): { losing: Float64Array; landing: Float64Array[] } {
  const n = rates.length / places;
  const losing = new Float64Array(n);
  const landing: Float64Array[] = [];
  for (let i = 0; i <= n; i++) landing.push(new Float64Array(i));
  for (let j = 0; j < n; j++) {
    let above = sentDown(rates, shares, places, { from: j, down: 0 });
    losing[j] = above;
    for (let i = j + 1; i < n; i++) {
      const next = sentDown(rates, shares, places, { from: j, down: i - j });
      landing[i][j] = above - next;
      above = next;
    }
    landing[n][j] = above;
  }
  return { losing, landing };
}

/** Mean rate at which a class sends mass below the lower edge of the class so many further down. */
function sentDown(
  rates: Float64Array,
  shares: Float64Array,
  places: number,
  { from, down }: { from: number; down: number },
): number {
  let sum = 0;
  for (let g = 0; g < places; g++) sum += rates[from * places + g] * shares[down * places + g];
  return sum;
}

/** Of each class: share · Σ rate · ratio^(−exponent · place), for fragments that are a power of z. */
export function powerRates(
  rates: Float64Array,
  ratio: number,
  places: readonly number[],
  { share, exponent }: { readonly share: number; readonly exponent: number },
): Float64Array {
  const count = places.length;
  const lowered = places.map((place) => ratio ** (-exponent * place));
  const means = new Float64Array(rates.length / count);
  for (let j = 0; j < means.length; j++) {
    let sum = 0;
    for (let g = 0; g < count; g++) sum += rates[j * count + g] * lowered[g];
    means[j] = share * sum;
  }
  return means;
}

/** The mean of a function of ln size over each of n classes of one width, falling from a top, and a value for what lies below. */
export function meansInClasses(
  { topLn, widthLn, classes, below }: { topLn: number; widthLn: number; classes: number; below: number },
  { places, weights }: Places,
  of: (ln: number) => number,
): Float64Array {
  const means = new Float64Array(classes + 1);
  const up = places.map((place) => place * widthLn);
  for (let i = 0; i < classes; i++) {
    const lower = topLn - (i + 1) * widthLn;
    let sum = 0;
    for (let g = 0; g < up.length; g++) sum += weights[g] * of(lower + up[g]);
    means[i] = sum;
  }
  means[classes] = below;
  return means;
}

/**
 * The same for a function of x^steepness, which is geometric along the classes: multiplied from class to class instead of
 * raised anew, and raised anew every so many classes so that no rounding adds up (tests/model/mill/grinding/wheelPowers.test.ts).
 */
export function meansOfPowerInClasses(
  { topLn, widthLn, classes, below }: { topLn: number; widthLn: number; classes: number; below: number },
  { places, weights }: Places,
  steepness: number,
  of: (power: number) => number,
): Float64Array {
  const means = new Float64Array(classes + 1);
  const count = places.length;
  const powers = new Float64Array(count);
  const decay = Math.exp(-steepness * widthLn);
  // Beyond these a power over- or underflows, and cannot be multiplied back; a steep curve is raised anew at each class.
  const mostLn = 300;
  const between = steepness * widthLn * 8 < mostLn ? 8 : 1;
  let isKept = false;
  for (let i = 0; i < classes; i++) {
    const lower = topLn - (i + 1) * widthLn;
    if (i % between === 0 || !isKept) {
      for (let g = 0; g < count; g++) powers[g] = Math.exp(steepness * (lower + places[g] * widthLn));
      isKept = Math.abs(steepness * lower) < mostLn;
    } else for (let g = 0; g < count; g++) powers[g] *= decay;
    let sum = 0;
    for (let g = 0; g < count; g++) sum += weights[g] * of(powers[g]);
    means[i] = sum;
  }
  means[classes] = below;
  return means;
}
