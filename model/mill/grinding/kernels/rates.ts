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

/** What each class loses to all finer ones. */
export function losingRates(rates: Float64Array, shares: Float64Array, places: number): Float64Array {
  const losing = new Float64Array(rates.length / places);
  for (let j = 0; j < losing.length; j++) losing[j] = sentDown(rates, shares, places, { from: j, down: 0 });
  return losing;
}

/** landing[i][j] of what class j loses in each finer one: a class receives the difference of what passes its two edges. */
export function landingRates(rates: Float64Array, shares: Float64Array, places: number): Float64Array[] {
  const n = rates.length / places;
  const landing: Float64Array[] = [];
  for (let i = 0; i <= n; i++) landing.push(new Float64Array(i));
  for (let j = 0; j < n; j++) {
    let above = sentDown(rates, shares, places, { from: j, down: 0 });
    for (let i = j + 1; i < n; i++) {
      const next = sentDown(rates, shares, places, { from: j, down: i - j });
      landing[i][j] = above - next;
      above = next;
    }
    landing[n][j] = above;
  }
  return landing;
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
  const maxLn = 300;
  const between = steepness * widthLn * 8 < maxLn ? 8 : 1;
  let isKept = false;
  for (let i = 0; i < classes; i++) {
    const lower = topLn - (i + 1) * widthLn;
    if (i % between === 0 || !isKept) {
      for (let g = 0; g < count; g++) powers[g] = Math.exp(steepness * (lower + places[g] * widthLn));
      isKept = Math.abs(steepness * lower) < maxLn;
    } else for (let g = 0; g < count; g++) powers[g] *= decay;
    let sum = 0;
    for (let g = 0; g < count; g++) sum += weights[g] * of(powers[g]);
    means[i] = sum;
  }
  means[classes] = below;
  return means;
}

/**
 * The same of the log-logistic curve max(whole/(1 + x^steepness), least): one power a class, its places factors of it.
 * Held to the plain mean by the same test.
 */
export function meansOfLogLogistic(
  classes: { topLn: number; widthLn: number; classes: number; below: number },
  at: Places,
  { steepness, whole, least }: { steepness: number; whole: number; least: number },
): Float64Array {
  const { topLn, widthLn } = classes;
  // A curve so steep that one class spans many powers is raised anew at each place.
  if (steepness * widthLn > 30)
    return meansOfPowerInClasses(classes, at, steepness, (power) => Math.max(whole / (1 + power), least));
  const means = new Float64Array(classes.classes + 1);
  const count = at.places.length;
  const up = new Float64Array(count);
  const weights = new Float64Array(count);
  for (let g = 0; g < count; g++) {
    up[g] = Math.exp(steepness * at.places[g] * widthLn);
    weights[g] = at.weights[g];
  }
  const decay = Math.exp(-steepness * widthLn);
  // Beyond these a power over- or underflows, and cannot be multiplied back.
  const maxLn = 300;
  let power = 0;
  let isKept = false;
  for (let i = 0; i < classes.classes; i++) {
    if (i % 8 === 0 || !isKept) {
      const ln = steepness * (topLn - (i + 1) * widthLn);
      power = Math.exp(ln);
      isKept = Math.abs(ln) < maxLn;
    } else power *= decay;
    // Most classes lie wholly above what passes in any case; then five fractions are one, which costs one division.
    if (count === 5 && power < 1e40 && whole >= least * (1 + power * up[4])) {
      means[i] = whole * sumOfFive(power, up, weights);
      continue;
    }
    let sum = 0;
    for (let g = 0; g < count; g++) {
      const passing = whole / (1 + power * up[g]);
      sum += weights[g] * (passing > least ? passing : least);
    }
    means[i] = sum;
  }
  means[classes.classes] = classes.below;
  return means;
}

/** Σ weight/(1 + power·up) of five over their common denominator; all of it positive, so nothing cancels. */
function sumOfFive(power: number, up: Float64Array, weights: Float64Array): number {
  const a = 1 + power * up[0];
  const b = 1 + power * up[1];
  const c = 1 + power * up[2];
  const d = 1 + power * up[3];
  const e = 1 + power * up[4];
  const ab = a * b;
  const cd = c * d;
  const ofFirst = weights[0] * b + weights[1] * a;
  const ofNext = weights[2] * d + weights[3] * c;
  return ((ofFirst * cd + ofNext * ab) * e + weights[4] * ab * cd) / (ab * cd * e);
}
