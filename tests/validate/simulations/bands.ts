import { curveOf } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import type { Band } from "#model/band/band.ts";
import { stretchesOutside } from "#model/band/envelopeVerdict.ts";
import { bandFromRuns } from "#model/band/fromReference.ts";
import { jointChance, pooledCovariance, rowValues } from "#model/band/jointVerdict.ts";
import { type Chance, chanceFrom } from "./chance.ts";
import { type Departure, measure, powders, type SimulatedPowder, unmoved } from "./powders.ts";

/** How often a further run of the reference lay within the band at all judged sizes. */
export interface BandCase {
  readonly powder: string;
  readonly runs: number;
  readonly sets: number;
  readonly share: number;
}

/** Fixed before the first run. */
const seed = 7_112_034;
export const setsPerBandCase = 2000;

/** The band alone, without an agreed tolerance that would widen it. */
export function bandCases(sets = setsPerBandCase): BandCase[] {
  return powders.flatMap((powder, p) =>
    [5, 6, 10, 20].map((runs): BandCase => {
      const chance = chanceFrom(seed + 100 * p + runs);
      let held = 0;
      for (let set = 0; set < sets; set++) {
        const reference = Array.from({ length: runs }, () => runOf(powder, unmoved, chance));
        const { envelope } = bandFromRuns(reference, of, { tolerancePercent: 1e-9 });
        const next = curveOf(runOf(powder, unmoved, chance).distribution);
        if (envelope !== null && stretchesOutside([next], envelope, "simple").length === 0) held++;
      }
      return { powder: powder.name, runs, sets, share: held / sets };
    }),
  );
}

/** 92–98 % is asked for. */
export const bandIsWithin = ({ share }: BandCase) => share >= 0.92 && share <= 0.98;

/** Lots whose chance of conforming was said to lie in a bin, and the share of them that truly conformed. */
export interface ChanceBin {
  readonly runs: number;
  readonly spread: "own" | "pooled over ten lots";
  readonly lots: number;
  readonly said: number;
  readonly true: number;
}

export const lotsPerChanceCase = 8000;
/** Tenths. */
const bins = Array.from({ length: 11 }, (_, i) => i / 10);
/** The ten lots whose scatter is pooled are those of a time; so many lots are judged by them. */
const lotsPerPool = 40;

/** Lots that lie evenly in size and width about a band for D10, D50 and D90. */
export function chanceBins(lots = lotsPerChanceCase): ChanceBin[] {
  const [powder] = powders;
  if (powder === undefined) return [];
  const band = bandAbout(powder);
  return (["own", "pooled over ten lots"] as const).flatMap((spread, s) =>
    [3, 6].flatMap((runs): ChanceBin[] => {
      const chance = chanceFrom(seed + 10_000 + 100 * s + runs);
      let pooled: ReturnType<typeof pooledCovariance> = null;
      const found = Array.from({ length: lots }, (_, lot) => {
        const own: Departure = {
          shiftLn: 0.08 * (chance.even() - 0.5),
          width: 0.08 * (chance.even() - 0.5),
          fines: 0,
        };
        if (spread !== "own" && lot % lotsPerPool === 0)
          pooled = pooledCovariance(
            Array.from({ length: 10 }, () => Array.from({ length: 3 }, () => runOf(powder, unmoved, chance))),
            band,
          );
        const measured = Array.from({ length: runs }, () => runOf(powder, own, chance));
        const values = rowValues(measured, band) ?? [];
        const said = jointChance(values, band.rows, pooled) ?? Number.NaN;
        const truth = rowValues([named(powder, own)], band)?.[0] ?? [];
        const conforms = band.rows.every(
          ({ low, high }, i) => (truth[i] ?? 0) >= (low ?? 0) && (truth[i] ?? 0) <= (high ?? Infinity),
        );
        return { said, conforms };
      });
      return bins.slice(1).map((to, i): ChanceBin => {
        const inBin = found.filter((f) => f.said >= (bins[i] ?? 0) && (f.said < to || to === 1));
        const count = inBin.length;
        return {
          runs,
          spread,
          lots: count,
          said: inBin.reduce((sum, f) => sum + f.said, 0) / count,
          true: inBin.filter((f) => f.conforms).length / count,
        };
      });
    }),
  );
}

/** Within 5 points, and what so few lots can be off by chance (two standard errors) where a bin is thin. */
export function chanceIsWithin(bin: ChanceBin): boolean {
  const byChance = 2 * Math.sqrt((bin.true * (1 - bin.true)) / bin.lots);
  return Math.abs(bin.said - bin.true) <= Math.max(0.05, byChance);
}

const of = { name: "band", stage: "re-fired", densityGPerCm3: null } as const;

function bandAbout(powder: SimulatedPowder): Band {
  const limits = ["d10Um", "d50Um", "d90Um"].map((limit) => ({ limit, low: 0, high: 1 }));
  const free: Band = { version: 1, ...of, rule: "two-sided", rows: limits, envelope: null };
  const centre = rowValues([named(powder, unmoved)], free)?.[0] ?? [];
  return {
    ...free,
    rows: limits.map(({ limit }, i) => ({
      limit,
      low: 0.975 * (centre[i] ?? 1),
      high: 1.025 * (centre[i] ?? 1),
    })),
  };
}

function runOf(powder: SimulatedPowder, lot: Departure, chance: Chance): NamedMeasurement {
  return named(powder, {
    shiftLn: lot.shiftLn + 0.012 * chance.normal(),
    width: lot.width + 0.008 * chance.normal(),
    fines: lot.fines + 0.08 * chance.normal(),
  });
}

function named(powder: SimulatedPowder, run: Departure): NamedMeasurement {
  return { file: null, name: "run", distribution: measure(powder, run) };
}
