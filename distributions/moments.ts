import { DomainError } from "./domainError.ts";
import { meanBy, timesRatio } from "./kernels/classSums.ts";
import { areOneGrid } from "./kernels/oneGrid.ts";
import { zip } from "./lists.ts";
import {
  type InClass,
  orderShift,
  type Quantity,
  quantityOrder,
  type SizeDistribution,
  sizeDistribution,
  unseenLimit,
  unseenShare,
} from "./sizeDistribution.ts";

/**
 * The mean of x^k over one class under an in-class rule, in the quantity measured.
 * log-uniform: (b^k − a^k)/(k ln(b/a)); uniform: (b^(k+1) − a^(k+1))/((k+1)(b − a)); else the power of one size.
 * Source: ISO 9276-2; docs/science.md.
 */
export function meanOfPower(lowerUm: number, upperUm: number, k: number, rule: InClass): number {
  switch (rule) {
    case "log-uniform":
      return lowerUm ** k * meanExponential(k * Math.log(upperUm / lowerUm));
    case "uniform": {
      // Uniform in x is weight x in ln x: a ratio of two log-uniform means.
      const width = Math.log(upperUm / lowerUm);
      return (lowerUm ** k * meanExponential((k + 1) * width)) / meanExponential(width);
    }
    case "geometric-mid":
      return (lowerUm * upperUm) ** (k / 2);
    case "arithmetic-mid":
      return ((lowerUm + upperUm) / 2) ** k;
    case "upper-edge":
      return upperUm ** k;
  }
}

/** The mean of e^t over 0 … u: (e^u − 1)/u, and 1 at u = 0. */
function meanExponential(u: number): number {
  return u === 0 ? 1 : Math.expm1(u) / u;
}

/** The mean of ln x over one class, weighted by x^k under the rule. */
function meanLog(lowerUm: number, upperUm: number, k: number, rule: InClass): number {
  const width = Math.log(upperUm / lowerUm);
  const bottom = Math.log(lowerUm);
  switch (rule) {
    case "log-uniform":
      return bottom + width * tiltedMid(k * width);
    case "uniform":
      return bottom + width * tiltedMid((k + 1) * width);
    case "geometric-mid":
      return bottom + width / 2;
    case "arithmetic-mid":
      return Math.log((lowerUm + upperUm) / 2);
    case "upper-edge":
      return bottom + width;
  }
}

/** The mean of t over 0 … 1 with weight e^(ut): e^u/(e^u − 1) − 1/u, by its series near 0 where the two cancel. */
function tiltedMid(u: number): number {
  if (Math.abs(u) < 1e-2) return 1 / 2 + u / 12 - u ** 3 / 720;
  return 1 / -Math.expm1(-u) - 1 / u;
}

/** What classes are as means, in the quantity measured; one number a class. */
export interface ClassMeans {
  /** The mean of x^k. */
  readonly ofPower: (k: number) => readonly number[];
  /** The mean of ln x, weighted by x^k. */
  readonly ofLog: (k: number) => readonly number[];
  /** The mean of x^above over that of x^below. */
  readonly ratio: (above: number, below: number) => readonly number[];
}

/** Means in classes, worked out once for each k. */
function classMeans({ lowerUm, upperUm, inClass }: SizeDistribution): ClassMeans {
  const kept = (mean: typeof meanOfPower) => {
    const known = new Map<number, readonly number[]>();
    return (k: number) => {
      const found = known.get(k) ?? zip(lowerUm, upperUm).map(([a, b]) => mean(a, b, k, inClass));
      known.set(k, found);
      return found;
    };
  };
  const ofPower = kept(meanOfPower);
  const ratios = new Map<string, readonly number[]>();
  return {
    ofPower,
    ofLog: kept(meanLog),
    ratio(above, below) {
      const key = `${above} ${below}`;
      const found = ratios.get(key) ?? zip(ofPower(above), ofPower(below)).map(([a, b]) => a / b);
      ratios.set(key, found);
      return found;
    },
  };
}

/** The same for one measurement after another: those of one table have the same classes, whose means are kept. */
export function keptClassMeans(): (m: SizeDistribution) => ClassMeans {
  let last: { readonly of: SizeDistribution; readonly means: ClassMeans } | null = null;
  return (m) => {
    const isSame =
      last !== null &&
      last.of.inClass === m.inClass &&
      areOneGrid([last.of.lowerUm, m.lowerUm]) &&
      areOneGrid([last.of.upperUm, m.upperUm]);
    if (last === null || !isSame) last = { of: m, means: classMeans(m) };
    return last.means;
  };
}

/** The mean of x^k over the classes, weighted by the shares as they stand (classes alone, so M_0 = 1). */
function momentOfClasses(m: SizeDistribution, k: number, means: ClassMeans): number {
  const shift = orderShift(m);
  return meanBy(m.shares, means.ratio(k + shift, shift));
}

/**
 * The mean of x^k weighted by the quantity the shares count: M_k,r of ISO 9276-2.
 * @returns µm^k, or null when more than 0.0005 of the whole lies outside the classes
 */
export function moment(m: SizeDistribution, k: number, means: ClassMeans = classMeans(m)): number | null {
  return unseenShare(m) > unseenLimit ? null : momentOfClasses(m, k, means);
}

/**
 * The mean diameter D[p,q], whatever quantity the shares count now: it always comes from the quantity measured.
 * D[3,2] is Sauter's, D[4,3] De Brouckere's, D[1,0] the number mean; p = q is the geometric limit.
 *
 * @param p, q  whole orders
 * @returns     micrometres, or null when more than 0.0005 of the whole lies outside the classes
 * @throws DomainError  orders that are not finite
 * Source: ISO 9276-2: (M_{p−r,r} / M_{q−r,r})^{1/(p−q)}
 */
export function meanDiameterUm(
  m: SizeDistribution,
  p: number,
  q: number,
  means: ClassMeans = classMeans(m),
): number | null {
  if (!Number.isFinite(p) || !Number.isFinite(q))
    throw new DomainError("order", "must be finite", `${p}, ${q}`);
  if (unseenShare(m) > unseenLimit) return null;
  const r = quantityOrder[m.quantity];
  if (p === q) return Math.exp(meanLogOfClasses(m, p - r, means));
  return (momentOfClasses(m, p - r, means) / momentOfClasses(m, q - r, means)) ** (1 / (p - q));
}

/** The mean of ln x over the classes, weighted by shares · x^k. */
function meanLogOfClasses(m: SizeDistribution, k: number, means: ClassMeans): number {
  const shift = orderShift(m);
  return meanBy(timesRatio(m.shares, means.ofPower(k + shift), means.ofPower(shift)), means.ofLog(k + shift));
}

/** Mean of x weighted by the quantity the shares count; null when too much is unseen. */
export function arithmeticMeanUm(m: SizeDistribution, means: ClassMeans = classMeans(m)): number | null {
  return moment(m, 1, means);
}

/** exp of the mean ln x weighted by the quantity the shares count; null when too much is unseen. */
export function geometricMeanUm(m: SizeDistribution, means: ClassMeans = classMeans(m)): number | null {
  return unseenShare(m) > unseenLimit ? null : Math.exp(meanLogOfClasses(m, 0, means));
}

/** Standard deviation of x (population form, in-class variance by the in-class rule); null when too much is unseen. */
export function standardDeviationUm(m: SizeDistribution, means: ClassMeans = classMeans(m)): number | null {
  const mean = moment(m, 1, means);
  const square = moment(m, 2, means);
  return mean === null || square === null ? null : Math.sqrt(Math.max(0, square - mean ** 2));
}

/**
 * The same powder counted by another quantity: v_i · (mean of x^k in the class), rescaled.
 * Going back divides by the same means and returns the input. Shares outside the classes (0.0005 at most) stay as they are.
 *
 * @returns the converted distribution, or null when more than 0.0005 of the whole lies outside the classes
 * Source: ISO 9276-2; docs/science.md.
 */
export function convert(
  m: SizeDistribution,
  quantity: Quantity,
  means: ClassMeans = classMeans(m),
): SizeDistribution | null {
  if (quantity === m.quantity) return m;
  const shares = sharesBy(m, quantity, means);
  return shares === null ? null : sizeDistribution({ ...m, quantity, shares });
}

/** The shares alone of the same powder counted by another quantity; null likewise. */
export function sharesBy(
  m: SizeDistribution,
  quantity: Quantity,
  means: ClassMeans = classMeans(m),
): readonly number[] | null {
  if (quantity === m.quantity) return m.shares;
  if (unseenShare(m) > unseenLimit) return null;
  const now = orderShift(m);
  const wanted = quantityOrder[quantity] - quantityOrder[m.measuredAs];
  const weights = timesRatio(m.shares, means.ofPower(wanted), means.ofPower(now));
  const seen = 1 - unseenShare(m);
  const sum = weights.reduce((a, b) => a + b, 0);
  return weights.map((w) => (w / sum) * seen);
}

/** Specific surface of smooth dense spheres of this size distribution. */
export interface GeometricSurface {
  readonly m2PerG: number;
  /** True where powder outside the classes adds area that is not counted. */
  readonly isLowerBound: boolean;
}

/**
 * The geometric specific surface 6·M(−1,3)/ρ, from the classes alone as a share of the whole.
 *
 * @param densityGPerCm3  density of the solid
 * @returns  m²/g, or null when no powder lies in the classes, or it was not measured by volume and more than 0.0005 is unseen
 * @throws   DomainError for a density that is not positive
 * Source: ISO 9276-2 (Sauter mean); 6/(ρ·D[3,2]) with ρ in g/cm³ and D in µm gives m²/g.
 */
export function geometricSurface(
  m: SizeDistribution,
  densityGPerCm3: number,
  means: ClassMeans = classMeans(m),
): GeometricSurface | null {
  if (!(densityGPerCm3 > 0 && Number.isFinite(densityGPerCm3)))
    throw new DomainError("densityGPerCm3", "must be positive", densityGPerCm3);
  const isLowerBound = unseenShare(m) > 0;
  const volume = convert(m, "volume", means);
  if (volume === null || volume.shares.every((share) => share === 0)) return null;
  const m2PerG = (6 * momentOfClasses(volume, -1, means) * (1 - unseenShare(volume))) / densityGPerCm3;
  return { m2PerG, isLowerBound };
}
