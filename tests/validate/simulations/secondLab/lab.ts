import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { type NamedMeasurement, sizeDistribution } from "#distributions/sizeDistribution.ts";
import type { Chance } from "../chance.ts";

/** How errors fall about 0, each with standard deviation 1. Serial: half of each departure stays in the next run. */
export const scatterKinds = ["normal", "skewed", "heavy-tailed", "serial"] as const;
export type Scatter = (typeof scatterKinds)[number];

/** So many errors, one after the other. Skewed: skewness 1. Heavy-tailed: Student's t of four degrees. */
export function errorsOf(kind: Scatter, count: number, chance: Chance): number[] {
  let last = chance.normal();
  return Array.from({ length: count }, () => {
    if (kind === "skewed") return chance.skewed(4);
    if (kind === "normal") return chance.normal();
    if (kind === "heavy-tailed") return heavyTailed(chance);
    const now = last;
    last = 0.5 * last + Math.sqrt(0.75) * chance.normal();
    return now;
  });
}

function heavyTailed(chance: Chance): number {
  const squares = [0, 1, 2, 3].reduce((sum) => sum + chance.normal() ** 2, 0);
  return chance.normal() / Math.sqrt(squares / 4) / Math.SQRT2;
}

/** A powder of this laboratory: size, width and shape are its own. */
export interface Material {
  readonly d50Um: number;
  /** Standard deviation of ln x of the main mode. */
  readonly widthLn: number;
  readonly shape: "log-normal" | "Rosin–Rammler" | "two parts";
  readonly densityGPerCm3: number;
}

/** A material of any size from 0.3 to 80 µm, narrow or wide. */
export function materialFrom(chance: Chance): Material {
  const shapes = ["log-normal", "Rosin–Rammler", "two parts"] as const;
  return {
    d50Um: 0.3 * (80 / 0.3) ** chance.even(),
    widthLn: 0.2 + 0.5 * chance.even(),
    shape: shapes[Math.floor(3 * chance.even())] ?? "log-normal",
    densityGPerCm3: 2 + 8 * chance.even(),
  };
}

const classes = 60;
/** Standard deviations of the main mode that the classes reach to either side, and more for a second part. */
const reach = 5;

/** A run of the material: every size moved by ln, the width by a share of itself. */
export function runOf(material: Material, shiftLn: number, width: number, name: string): NamedMeasurement {
  const { d50Um, widthLn, shape } = material;
  const own = widthLn * (1 + width);
  const middle = d50Um * Math.exp(shiftLn);
  const main = (x: number) => logNormal.cdf({ medianUm: middle, gsd: Math.exp(own) }, x);
  const undersize = (x: number) => {
    if (shape === "log-normal") return main(x);
    if (shape === "two parts")
      return 0.85 * main(x) + 0.15 * logNormal.cdf({ medianUm: 0.3 * middle, gsd: Math.exp(own) }, x);
    return rosinRammler.cdf({ characteristicUm: 1.2 * middle, spreadExponent: 1 / own }, x);
  };
  // The classes stay where they are; only the powder moves.
  const edges = Array.from(
    { length: classes + 1 },
    (_, i) => d50Um * Math.exp(reach * widthLn * (i / (classes / 2) - 1) - (1 - i / classes) * 1.2),
  );
  const q = edges.map(undersize);
  return {
    file: null,
    name,
    distribution: sizeDistribution({
      quantity: "volume",
      lowerUm: edges.slice(0, -1),
      upperUm: edges.slice(1),
      shares: q.slice(1).map((v, i) => v - (q[i] ?? 0)),
      belowShare: q[0] ?? 0,
      aboveShare: 1 - (q.at(-1) ?? 1),
    }),
  };
}

/** One thing that is printed, under one kind of trouble, counted against truth. */
export interface SaidAndTrue {
  readonly said: string;
  readonly where: string;
  readonly cases: number;
  /** What is said on the average, and how often it came true. */
  readonly nominal: number;
  readonly actual: number;
  /** Whether more than nominal is no fault: a bound, or a figure that is said to understate. */
  readonly isBound: boolean;
}

/** By how many standard errors of so many cases it lies outside nominal; 0 for a bound that is kept. */
export function outsideBy({ cases, nominal, actual, isBound }: SaidAndTrue): number {
  const p = Math.min(Math.max(nominal, 1 / cases), 1 - 1 / cases);
  const away = (actual - nominal) / Math.sqrt((p * (1 - p)) / cases);
  return isBound ? Math.min(0, away) : away;
}
