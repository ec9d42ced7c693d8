import { curveOf } from "#distributions/curve.ts";
import { gatesGaudinSchuhmann } from "#distributions/families/gatesGaudinSchuhmann.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { mixture } from "#distributions/families/mixture.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { itemAt, neighbours, zip } from "#distributions/lists.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import { type FamilyFit, fitFamily } from "#model/fit/fitFamily.ts";
import { type FitPoints, fitPoints } from "#model/fit/fitPoints.ts";
import { searchNormalParts } from "#model/fit/kernels/normalParts.ts";
import { normalTable } from "#model/fit/normalTable.ts";
import { partBounds } from "#model/fit/solveMixture.ts";
import { type Chance, chanceFrom } from "./chance.ts";

/** How often a fit found the lowest floor that any search knows, of powders of one kind. */
export interface FloorCase {
  readonly family: "gates-gaudin-schuhmann" | "mixture";
  readonly powder: string;
  readonly powders: number;
  readonly found: number;
  /** Said to have several floors. */
  readonly several: number;
  /** Said to have converged, on a floor that is not the lowest known. */
  readonly falselyConverged: number;
}

/** Fixed before the first run. */
const seed = 31_415_926;
const randomStarts = 50;
/** A floor this share above the best known is another floor: below it only rounding and the end of the search differ. */
const sameFloor = 1e-3;

interface Kind {
  readonly powder: string;
  readonly undersize: (chance: Chance) => (sizeUm: number) => number;
}

const between = (chance: Chance, low: number, high: number) => low * (high / low) ** chance.even();

const twoParts: Kind = {
  powder: "two log-normal parts, medians 1.5 to 10 times apart, 3 to 97 %",
  undersize: (chance) => {
    const medianUm = between(chance, 0.8, 3);
    const weight = 0.03 + 0.94 * chance.even();
    const components = [
      { weight, medianUm, gsd: between(chance, 1.25, 2) },
      { weight: 1 - weight, medianUm: medianUm * between(chance, 1.5, 10), gsd: between(chance, 1.25, 2) },
    ];
    return (x) => mixture.cdf({ components }, x);
  },
};
const rosin: Kind = {
  powder: "Rosin–Rammler, n 0.9 to 2.5",
  undersize: (chance) => {
    const p = { characteristicUm: between(chance, 1, 12), spreadExponent: between(chance, 0.9, 2.5) };
    return (x) => rosinRammler.cdf(p, x);
  },
};
const normal: Kind = {
  powder: "log-normal, GSD 1.3 to 2.2",
  undersize: (chance) => {
    const p = { medianUm: between(chance, 1, 8), gsd: between(chance, 1.3, 2.2) };
    return (x) => logNormal.cdf(p, x);
  },
};
const schuhmann: Kind = {
  powder: "Gates–Gaudin–Schuhmann, m 0.5 to 2.5",
  undersize: (chance) => {
    const p = { topUm: between(chance, 3, 40), exponent: between(chance, 0.5, 2.5) };
    return (x) => gatesGaudinSchuhmann.cdf(p, x);
  },
};

/** 99 % of Gates–Gaudin–Schuhmann, 95 % of two-part mixtures over the three kinds, none said to have converged on a worse one. */
export function floorsAreFound(cases: readonly FloorCase[]): boolean {
  const share = (family: FloorCase["family"]) => {
    const own = cases.filter((c) => c.family === family);
    return own.reduce((sum, c) => sum + c.found, 0) / own.reduce((sum, c) => sum + c.powders, 0);
  };
  return (
    share("gates-gaudin-schuhmann") >= 0.99 &&
    share("mixture") >= 0.95 &&
    cases.every((c) => c.falselyConverged <= 0.01 * c.powders)
  );
}

/** Every family on powders of each kind; the kinds come in turn. */
export function floorCases(powdersPerKind = 100): FloorCase[] {
  return [
    ...[schuhmann, rosin, normal].map((kind) => floorCase("gates-gaudin-schuhmann", kind, powdersPerKind)),
    ...[twoParts, rosin, normal].map((kind) => floorCase("mixture", kind, powdersPerKind)),
  ];
}

function floorCase(family: FloorCase["family"], kind: Kind, powders: number): FloorCase {
  const chance = chanceFrom(seed);
  let found = 0;
  let several = 0;
  let falselyConverged = 0;
  for (let i = 0; i < powders; i++) {
    const one = noisy(kind, chance);
    const fit = fitFamily(one, family);
    const points = fitPoints(one.distribution, "edges", curveOf(one.distribution));
    if (fit === null) throw new Error(`${kind.powder}: not fitted`);
    const known = family === "mixture" ? lowestOfMixture(points, chance) : lowestOfSchuhmann(points);
    const isLowest = sumOf(fit, points) <= known * (1 + sameFloor);
    if (isLowest) found++;
    if (fit.status === "several floors") several++;
    else if (!isLowest && fit.status === "converged") falselyConverged++;
  }
  return { family, powder: kind.powder, powders, found, several, falselyConverged };
}

const sumOf = ({ rmsPoints }: FamilyFit, { telling }: FitPoints) => (rmsPoints / 100) ** 2 * telling;

/** A powder on 30 to 100 classes with noise of about 0.3 points in Q, most of it alike over a quarter in ln size. */
function noisy(kind: Kind, chance: Chance): NamedMeasurement {
  const classes = 30 + Math.floor(71 * chance.even());
  const edges = Array.from({ length: classes + 1 }, (_, i) => 0.05 * 4000 ** (i / classes));
  const undersize = kind.undersize(chance);
  const memory = Math.exp(-Math.log(4000) / classes / 0.25);
  let hanging = chance.normal();
  const q = edges.map((x) => {
    hanging = memory * hanging + Math.sqrt(1 - memory ** 2) * chance.normal();
    const share = undersize(x);
    return share + 0.012 * share * (1 - share) * (hanging + 0.2 * chance.normal());
  });
  const shares = neighbours(q).map(([from, to]) => Math.max(to - from, 0));
  const whole = shares.reduce((a, b) => a + b, 0);
  return {
    file: null,
    name: kind.powder,
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: shares.map((share) => share / whole),
      belowShare: 0,
      aboveShare: 0,
    }),
  };
}

/** The lowest of searches from fifty random starts. */
function lowestOfMixture(points: FitPoints, chance: Chance): number {
  const { lnSizes: lns, shares } = points;
  const from = itemAt(lns, 0);
  const width = itemAt(lns, -1) - from;
  let lowest = Number.POSITIVE_INFINITY;
  for (let k = 0; k < randomStarts; k++) {
    const part = () => [from + width * chance.even(), Math.log(between(chance, 0.1, 1))];
    const start = [...part(), ...part(), 3 * chance.normal()];
    const end = { mostSteps: 400, offset: 1e-7, noMisfit: 1e-9 };
    const found = searchNormalParts(normalTable(), { lns, lnFrom: null, shares }, start, {
      ...partBounds(points, 2),
      ...end,
    });
    lowest = Math.min(lowest, found.sumOfSquares);
  }
  return lowest;
}

/**
 * The lowest of a walk over tops: with the top held the curve has one exponent left, found by halving a fine net of them.
 * Two hundred tops between each two edges.
 */
function lowestOfSchuhmann({ lnSizes, shares }: FitPoints): number {
  const misfit = (top: number, m: number) =>
    zip(lnSizes, shares).reduce(
      (sum, [ln, share]) => sum + (Math.exp(m * Math.min(ln - top, 0)) - share) ** 2,
      0,
    );
  const bestOf = (top: number) => {
    const golden = (Math.sqrt(5) - 1) / 2;
    let [low, high] = [0.05, 12];
    for (let k = 0; k < 40; k++) {
      const a = high - golden * (high - low);
      const b = low + golden * (high - low);
      if (misfit(top, a) < misfit(top, b)) high = b;
      else low = a;
    }
    return misfit(top, (low + high) / 2);
  };
  const tops = neighbours(lnSizes).flatMap(([a, b]) =>
    Array.from({ length: 20 }, (_, i) => a + ((b - a) * (i + 0.5)) / 20),
  );
  return Math.min(...tops.map(bestOf));
}
